/** What is known of the machine, in answer to `candidates`, `why`, `standing`, `steps` and `outlook`. */

import type { Entry, Out, Session, Suspect, Suspicion, Why } from "../../run/index.ts"
import { at } from "../../run/lookup.ts"
import { entryText as entryParts } from "../../ship/act-labels.ts"
import { reasonText } from "../../ship/runner-text.ts"
import * as common from "../../wording/compiled/common.ts"
import * as m from "../../wording/compiled/terminal.ts"
import { placesText } from "../../wording/places.ts"
import { plain } from "../io/terminal.ts"
import { typedAct } from "./parse-act.ts"
import type { Screen } from "./screen.ts"

/** Suspects and pairs beyond these are counted. */
const MOST = 12

export function candidates(session: Session, screen: Screen): string[] {
  const { words, paint } = screen
  const left = session.candidates.filter(({ present }) => present > 0)
  if (left.length === 0) return [paint.warn(`  ${words.say(m.nothingFits)}`)]
  const shown = left.slice(0, MOST)
  const names = shown.map(({ info }) => info?.name ?? words.say(m.typeUnlisted))
  const width = Math.max(...names.map(({ length }) => length))
  const listedFaults = session.candidates.filter(({ fault }) => fault !== undefined)
  const out = listedFaults.filter(({ present }) => present === 0).length
  return [
    ...shown.map((suspect, i) => {
      const label = suspect.info?.label ?? words.say(common.notListed)
      const line = [label, ...stillActive(suspect, screen)].join(", ")
      return plain(`  ${words.percent(suspect.present).padStart(8)}  ${at(names, i).padEnd(width)}  ${line}`)
    }),
    ...(left.length > shown.length
      ? [`  ${words.say(m.andLessLikely, { n: left.length - shown.length })}`]
      : []),
    ...pairs(session, screen),
    `  ${words.say(m.ruledOutOf, { out, all: listedFaults.length })}`,
  ]
}

/** The chance that it is active now, where it may have been cured. */
function stillActive({ present, active }: Suspect, { words }: Screen): string[] {
  return present - active > 5e-4 ? [words.say(m.stillActive, { share: words.percent(active) })] : []
}

function pairs({ pairs, candidates }: Session, { words }: Screen): string[] {
  const names = new Map(candidates.flatMap(({ fault, info }) => (info ? [[fault, info.name]] : [])))
  return pairs
    .filter(({ chance }) => chance >= 0.02)
    .slice(0, 3)
    .map(({ faults: [a, b], chance }) => {
      const both = words.say(m.together, { one: names.get(a) ?? "", other: names.get(b) ?? "" })
      return plain(`  ${words.percent(chance).padStart(8)}  ${both}`)
    })
}

/** All that is ruled out, or one fault with what would bring it back. */
export function whyText(session: Session, name: string | undefined, screen: Screen): string[] {
  const { words, paint } = screen
  const all = session.candidates.filter(({ info }) => info && (name === undefined || info.name === name))
  if (all.length === 0) return [paint.warn(`  ${words.say(m.noFaultCalled, { name: name ?? "" })}`)]
  if (name !== undefined) return oneFault(session.why(name), session, screen)
  const lines = all.flatMap(({ info, out }) =>
    out === undefined || info === undefined ? [] : [ruledOut(info.name, out, screen)],
  )
  return lines.length > 0 ? lines : [`  ${words.say(m.nothingRuledOut)}`]
}

function ruledOut(name: string, out: Out, { graph, words }: Screen): string {
  const why = reasonText(graph, out, words)
  return plain(`  ${words.say(m.ruledOutIn, { name, n: out.step + 1, why })}`)
}

function oneFault({ suspect, out, back }: Why, session: Session, screen: Screen): string[] {
  const { words } = screen
  const name = suspect.info?.name ?? ""
  if (suspect.present > 0) {
    const line = words.say(m.notRuledOut, { name, share: words.percent(suspect.present) })
    return [plain(`  ${[line, ...stillActive(suspect, screen)].join(", ")}`)]
  }
  return [
    ...out.map((each) => ruledOut(name, each, screen)),
    `  ${words.say(back.length === 0 ? m.noSingleFinding : m.backIfWrong)}`,
    ...back.map((step) => `    ${stepEntry(session, step, screen)}`),
  ]
}

/** `step 2, try_panel: complaint stays`. */
export function stepEntry({ log }: Session, step: number, screen: Screen): string {
  return plain(screen.words.say(m.stepEntry, { n: step + 1, entry: entryText(log[step], screen) }))
}

export function standing(
  { standing: { fitted, redone, gone, changed, whole } }: Session,
  { words }: Screen,
): string[] {
  const how = words.say(gone === undefined ? m.notLookedFor : gone ? m.goneAtLastLook : m.itStays)
  return [
    words.say(m.partsInMachine, { what: placesText(fitted, words) }),
    words.say(m.redoneSoFar, { what: placesText(redone, words) }),
    words.say(changed ? m.complaintIsBut : m.complaintIs, { how }),
    words.say(m.chanceWhole, { share: words.percent(whole) }),
    ...(fitted.length > 0 ? [words.say(m.outOrKept)] : []),
  ].map((line) => plain(`  ${line}`))
}

export function outlookText({ outlook }: Session, { graph, words }: Screen): string[] {
  const { cost, parts, minutes, handedOver, by } = outlook
  const [amount, bought] = [cost, parts].map((each) => words.money(each, graph.money)) as [string, string]
  return [
    words.say(by === "graph" ? m.expectedFromHere : m.estimatedFromHere),
    words.say(m.amountOfWhichParts, { amount, parts: bought }),
    words.say(m.timeOfWork, { time: words.minutes(minutes) }),
    words.say(m.handedOverShare, { share: words.percent(handedOver) }),
  ].map((line) => plain(`  ${line}`))
}

/** That two faults, or something not listed, have become likely, with the findings that speak for it. */
export function suspicionText({ of, chance, steps }: Suspicion, session: Session, screen: Screen): string[] {
  const { words, paint } = screen
  const alarm = of === "two faults" ? m.twoFaultsLikely : m.unlistedLikely
  return [
    paint.warn(`  ! ${words.say(alarm, { share: words.percent(chance) })}`),
    ...(steps.length === 0 ? [] : [`    ${words.say(common.whatSpeaks)}`]),
    ...steps.slice(0, 4).map((step) => `      ${stepEntry(session, step, screen)}`),
  ]
}

export function stepsText(session: Session, screen: Screen): string[] {
  const { words } = screen
  const done = session.log.map((entry, i) =>
    plain(`  ${String(i + 1).padStart(3)}  ${entryText(entry, screen)}`),
  )
  const { next } = session
  const more = session.steps.map(({ act, minutes }) => {
    const isNext = "act" in next && typedAct(next.act, words) === typedAct(act, words)
    return plain(`    ${isNext ? "> " : "  "}${typedAct(act, words)}, ${words.minutes(minutes)}`)
  })
  return [
    ...(done.length > 0 ? [`  ${words.say(m.doneSoFar)}`, ...done] : []),
    `  ${words.say(m.canBeDoneNow)}`,
    ...(more.length > 0 ? more : [`       ${words.say(common.nothing)}`]),
  ]
}

/** `try_panel: complaint stays`, by the names that are typed. */
function entryText(entry: Entry | undefined, { graph, words }: Screen): string {
  const { what, found } = entryParts(graph, entry, words)
  const name =
    entry === undefined || "cameBack" in entry
      ? what
      : typedAct("cannot" in entry ? entry.cannot : entry.act, words)
  return `${name}: ${found}`
}
