/** How a step is shown: cautions first, then what to do, what it does to the machine, and what is to be answered. */
import type {
  ActionStep,
  EndStep,
  Graph,
  GraphProof,
  HandoverStep,
  Session,
  Step,
  Suspect,
} from "../../run/index.ts"
import { actTitle, effectsOf } from "../../ship/act-labels.ts"
import { picturesOf, type ShownPicture } from "../../ship/pictures.ts"
import { duration, minutes, money, percent } from "../../wording/figures.ts"
import { placesText } from "../../wording/places.ts"
import { listed, sentence } from "../../wording/sentence.ts"
import type { PicturedGraph } from "../io/load-graph.ts"
import type { PictureFiles } from "../io/picture-files.ts"
import { plain, type Style } from "../io/terminal.ts"
import { typedAct } from "./parse-act.ts"
import { candidates, entryText } from "./status-text.ts"

export function opening(graph: Graph, session: Session, paint: Style): string[] {
  const { title, name, version } = graph.ruleset
  const done = session.log.length
  return [
    paint.bold(`${title} (${name} ${version})`),
    plain(`Complaint \`${graph.complaint.name}\`: ${sentence(graph.complaint.text)}`),
    ...(done > 0
      ? [`The job goes on after ${done === 1 ? "1 step" : `${done} steps`}; steps lists them.`]
      : []),
    paint.dim("Answer what is asked, or type help."),
  ]
}

export function actionText(
  step: ActionStep & Pick<Step, "by">,
  session: Session,
  { graph, pictures: files }: PicturedGraph,
  paint: Style,
): string[] {
  const pictures = picturesOf(graph, step)
  const shown = (caution: string | undefined) =>
    pictures.filter((each) => each.caution === caution).map((each) => pictureText(each, files))
  return [
    "",
    paint.bold(`Step ${session.log.length + 1}`) + paint.dim(`  ${typedAct(step.act)}`),
    ...step.cautions.flatMap((caution) => [
      paint.warn(`  Caution: ${caution}`),
      ...shown(caution).map((text) => `  ${text}`),
    ]),
    paint.bold(`  ${actTitle(graph, step.act)}`),
    ...effectsOf(step).map((effect) => plain(`  ${effect}`)),
    ...remedies(step),
    ...shown(undefined),
    ...(step.do === "close" ? closing(session) : []),
    ...stillFitted(session, paint),
    ...dimmed(facts(step, graph), paint),
    ...outlook(session, graph, paint),
  ]
}

/** A terminal shows none: what it shows in words, and where its file is. */
function pictureText({ picture, text }: ShownPicture, { pathOf }: PictureFiles): string {
  return plain(`  Picture: ${text} (${pathOf(picture) ?? "its file isn't there"})`)
}

function dimmed(facts: readonly string[], paint: Style): string[] {
  return facts.length === 0 ? [] : [paint.dim(`  ${facts.join(", ")}`)]
}

function facts(step: ActionStep & Pick<Step, "by">, graph: Graph): string[] {
  const { info } = step
  const cost = step.cost + step.lookCost
  const buys = step.do === "keep" || step.do === "replace" ? (step.place?.price ?? 0) : 0
  return [
    ...(info?.power === undefined ? [] : [`power ${info.power}`]),
    ...(step.needs.length > 0 ? [`needs ${listed(step.needs)}`] : []),
    ...(step.minutes > 0 ? [minutes(step.minutes)] : []),
    ...(step.waits > 0 ? [`then ${duration(step.waits)} of waiting`] : []),
    ...(cost > 0 ? [money(cost, graph.money)] : []),
    ...(buys > 0 ? [`of which the part ${money(buys, graph.money)}`] : []),
    ...(step.by === "model" ? ["worked out now, not in the graph"] : []),
  ]
}

/** For a repair: the faults that it is meant for, how likely each is, and how it is fixed. */
function remedies({ cures }: ActionStep): string[] {
  return cures.slice(0, 4).flatMap(({ info, active }) => {
    if (!info) return []
    const how = info.remedy === undefined ? "" : `: ${info.remedy}`
    return [plain(`  For: ${info.label} (${percent(active)})${how}`)]
  })
}

/** A part of the shop's that is forgotten in the machine is lost, and hides what is wrong with the old one. */
function stillFitted({ standing: { fitted } }: Session, paint: Style): string[] {
  if (fitted.length === 0) return []
  return [
    paint.dim(
      `  In the machine, to come out or to be kept before closing: the shop's ${placesText(fitted)}.`,
    ),
  ]
}

/** What must be back in the machine before it is closed. */
function closing({ standing: { redone } }: Session): string[] {
  const back = redone.length === 0 ? "" : ` That includes: ${placesText(redone)}.`
  return [plain(`  Everything that came off or out must be back in its place before the proof run.${back}`)]
}

function outlook(
  { outlook: { cost, minutes: work, parts, by } }: Session,
  graph: Graph,
  paint: Style,
): string[] {
  const about = by === "graph" ? "" : "about "
  const bought = parts > 0 ? `, of which parts ${money(parts, graph.money)}` : ""
  return [
    paint.dim(
      `  From here to the end: ${about}${money(cost, graph.money)}${bought}, ${minutes(work)} of work.`,
    ),
  ]
}

/** What is to be answered after an action that looks for the complaint. */
export function lookQuestion(step: ActionStep, graph: Graph): string {
  const often = step.tries <= 1 ? "again" : `up to ${step.tries} times; it is gone only if it never shows`
  const what = step.do === "look" && step.tries <= 1 ? "The complaint" : `Look for the complaint ${often}`
  return plain(`  ${what} (${graph.complaint.text}): gone or stays?`)
}

export function handoverText(step: HandoverStep, session: Session, graph: Graph, paint: Style): string[] {
  if (step.fits)
    return [
      "",
      paint.warn("Hand the machine over: going on here would cost more."),
      ...backIn(session),
      ...candidates(session, paint),
    ]
  return [
    "",
    paint.warn("Hand the machine over: nothing that can be wrong fits all findings."),
    ...backIn(session),
    ...(step.atOdds.length === 0
      ? []
      : [
          "  One of these findings may be wrong:",
          ...step.atOdds.flatMap(({ step: at, faults }) => [
            plain(`  step ${at + 1}, ${entryText(graph, session.log[at])}`),
            ...faults
              .slice(0, 4)
              .map((suspect) => plain(`    without it, this fits again: ${bring(suspect)}`)),
          ]),
          paint.dim("  If so, undo it."),
        ]),
  ]
}

function bring({ info, out }: Suspect): string {
  return `${info?.name ?? "something not listed"}${out ? ` (${out.text})` : ""}`
}

/** The shop's parts come out when the machine goes to somebody else. */
function backIn({ standing: { fitted } }: Session): string[] {
  return fitted.length === 0
    ? []
    : [plain(`  First take the shop's parts out and put the old ones back: ${placesText(fitted)}.`)]
}

export function endText({ closed }: EndStep, paint: Style): string[] {
  return [
    "",
    closed
      ? paint.good("The machine passed its proof run: the job is done.")
      : paint.warn("The machine is handed over: the job ends here."),
  ]
}

export function proofText({ text, minutes: took }: GraphProof, n: number, times: number): string {
  const counted = times > 1 ? `[${n} of ${times}] ` : ""
  return plain(`  ${counted}${text}${took > 0 ? ` (${minutes(took)})` : ""}`)
}
