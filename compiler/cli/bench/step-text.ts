/** How a step is shown: cautions first, then what to do, what it does to the machine, and what is to be answered. */
import type {
  ActionStep,
  EndStep,
  GraphProof,
  HandoverStep,
  Session,
  Step,
  Suspect,
} from "../../run/index.ts"
import { actTitle, effectsOf } from "../../ship/act-labels.ts"
import { powerText } from "../../ship/labels.ts"
import { picturesOf, type ShownPicture } from "../../ship/pictures.ts"
import { reasonText } from "../../ship/runner-text.ts"
import * as common from "../../wording/compiled/common.ts"
import * as m from "../../wording/compiled/terminal.ts"
import { placesText } from "../../wording/places.ts"
import { sentence } from "../../wording/sentence.ts"
import { plain } from "../io/terminal.ts"
import { typedAct } from "./parse-act.ts"
import type { Screen } from "./screen.ts"
import { candidates, stepEntry } from "./status-text.ts"

export function opening(session: Session, { graph, words, paint }: Screen): string[] {
  const { title, name, version } = graph.ruleset
  const { complaint } = graph
  const done = session.log.length
  return [
    paint.bold(`${title} (${name} ${version})`),
    plain(words.say(m.complaintNamed, { name: complaint.name, text: sentence(complaint.text) })),
    ...(done > 0 ? [words.say(m.goesOnAfter, { n: done })] : []),
    paint.dim(words.say(m.answerOrHelp)),
  ]
}

export function actionText(step: ActionStep & Pick<Step, "by">, session: Session, screen: Screen): string[] {
  const { graph, words, paint } = screen
  const pictures = picturesOf(graph, step)
  const shown = (caution: string | undefined) =>
    pictures.filter((each) => each.caution === caution).map((each) => pictureText(each, screen))
  return [
    "",
    paint.bold(words.say(m.stepNumber, { n: session.log.length + 1 })) +
      paint.dim(`  ${typedAct(step.act, words)}`),
    ...step.cautions.flatMap((caution) => [
      paint.warn(`  ${words.say(common.caution, { what: caution })}`),
      ...shown(caution).map((text) => `  ${text}`),
    ]),
    paint.bold(`  ${actTitle(graph, step.act, words)}`),
    ...effectsOf(step, words).map((effect) => plain(`  ${effect}`)),
    ...remedies(step, screen),
    ...shown(undefined),
    ...(step.do === "close" ? closing(session, screen) : []),
    ...stillFitted(session, screen),
    ...dimmed(facts(step, screen), screen),
    ...outlook(session, screen),
  ]
}

/** A terminal shows none: what it shows in words, and where its file is. */
function pictureText({ picture, text }: ShownPicture, { pictures, words }: Screen): string {
  const file = pictures.pathOf(picture) ?? words.say(m.noPictureFile)
  return plain(`  ${words.say(m.pictureOf, { what: text, file })}`)
}

function dimmed(facts: readonly string[], { paint }: Screen): string[] {
  return facts.length === 0 ? [] : [paint.dim(`  ${facts.join(", ")}`)]
}

function facts(step: ActionStep & Pick<Step, "by">, { graph, words }: Screen): string[] {
  const { info } = step
  const cost = step.cost + step.lookCost
  const buys = step.do === "keep" || step.do === "replace" ? (step.place?.price ?? 0) : 0
  return [
    ...(info?.power === undefined ? [] : [powerText(info.power, words)]),
    ...(step.needs.length > 0 ? [words.say(common.needsTools, { what: words.listed(step.needs) })] : []),
    ...(step.minutes > 0 ? [words.minutes(step.minutes)] : []),
    ...(step.waits > 0 ? [words.say(common.thenWaiting, { time: words.duration(step.waits) })] : []),
    ...(cost > 0 ? [words.money(cost, graph.money)] : []),
    ...(buys > 0 ? [words.say(m.partOfIt, { amount: words.money(buys, graph.money) })] : []),
    ...(step.by === "model" ? [words.say(m.notInGraph)] : []),
  ]
}

/** For a repair: the faults that it is meant for, how likely each is, and how it is fixed. */
function remedies({ cures }: ActionStep, { words }: Screen): string[] {
  return cures.slice(0, 4).flatMap(({ info, active }) => {
    if (!info) return []
    const args = { what: info.label, share: words.percent(active) }
    const line =
      info.remedy === undefined
        ? words.say(m.forFault, args)
        : words.say(m.forFaultHow, { ...args, remedy: info.remedy })
    return [plain(`  ${line}`)]
  })
}

/** A part of the shop's that is forgotten in the machine is lost, and hides what is wrong with the old one. */
function stillFitted({ standing: { fitted } }: Session, { words, paint }: Screen): string[] {
  if (fitted.length === 0) return []
  return [paint.dim(`  ${words.say(m.stillFitted, { what: placesText(fitted, words) })}`)]
}

/** What must be back in the machine before it is closed. */
function closing({ standing: { redone } }: Session, { words }: Screen): string[] {
  const lines = [
    words.say(m.everythingBack),
    ...(redone.length === 0 ? [] : [words.say(m.thatIncludes, { what: placesText(redone, words) })]),
  ]
  return [plain(`  ${lines.join(" ")}`)]
}

function outlook(
  { outlook: { cost, minutes, parts, by } }: Session,
  { graph, words, paint }: Screen,
): string[] {
  const exact = words.money(cost, graph.money)
  const args = {
    amount: by === "graph" ? exact : words.say(m.aboutAmount, { amount: exact }),
    time: words.minutes(minutes),
  }
  const line =
    parts > 0
      ? words.say(m.fromHereParts, { ...args, parts: words.money(parts, graph.money) })
      : words.say(m.fromHere, args)
  return [paint.dim(`  ${line}`)]
}

/** What is to be answered after an action that looks for the complaint. */
export function lookQuestion(step: ActionStep, { graph, words }: Screen): string {
  const once = step.do === "look" ? m.theComplaint : common.lookAgain
  const question = words.say(m.goneOrStays, {
    what: step.tries <= 1 ? words.say(once) : words.say(m.lookUpTo, { n: step.tries }),
    complaint: graph.complaint.text,
    gone: words.say(m.typeGone),
    stays: words.say(m.typeStays),
  })
  return plain(`  ${question}`)
}

export function handoverText(step: HandoverStep, session: Session, screen: Screen): string[] {
  const { words, paint } = screen
  if (step.fits)
    return [
      "",
      paint.warn(words.say(m.handOverDearer)),
      ...backIn(session, screen),
      ...candidates(session, screen),
    ]
  return [
    "",
    paint.warn(words.say(m.handOverNothingFits)),
    ...backIn(session, screen),
    ...(step.atOdds.length === 0
      ? []
      : [
          `  ${words.say(m.oneMayBeWrong)}`,
          ...step.atOdds.flatMap(({ step: at, faults }) => [
            `  ${stepEntry(session, at, screen)}`,
            ...faults
              .slice(0, 4)
              .map((suspect) => plain(`    ${words.say(m.withoutIt, { what: bring(suspect, screen) })}`)),
          ]),
          paint.dim(`  ${words.say(m.ifSoUndo)}`),
        ]),
  ]
}

function bring({ info, out }: Suspect, { graph, words }: Screen): string {
  const name = info?.name ?? words.say(common.notListed)
  return out ? `${name} (${reasonText(graph, out, words)})` : name
}

/** The shop's parts come out when the machine goes to somebody else. */
function backIn({ standing: { fitted } }: Session, { words }: Screen): string[] {
  return fitted.length === 0
    ? []
    : [plain(`  ${words.say(m.takePartsOut, { what: placesText(fitted, words) })}`)]
}

export function endText({ closed }: EndStep, { words, paint }: Screen): string[] {
  return ["", closed ? paint.good(words.say(m.machinePassed)) : paint.warn(words.say(m.machineHandedOver))]
}

export function proofText({ text, minutes, times }: GraphProof, n: number, { words }: Screen): string {
  const counted = times > 1 ? words.say(m.proofTry, { n, times, what: text }) : text
  return plain(`  ${counted}${minutes > 0 ? ` (${words.minutes(minutes)})` : ""}`)
}
