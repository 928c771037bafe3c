/** What is known of the machine, in answer to `candidates`, `why`, `standing`, `steps` and `outlook`. */

import type { Entry, Graph, Session, Suspicion, Why } from "../../run/index.ts"
import { at } from "../../run/lookup.ts"
import { entryText as entryParts } from "../../ship/act-labels.ts"
import { minutes, money, percent } from "../../wording/figures.ts"
import { placesText } from "../../wording/places.ts"
import { plain, type Style } from "../io/terminal.ts"
import { typedAct } from "./parse-act.ts"

export const HELP = [
  "  an answer         what was found, like `yes`, `24.1 V` or `gone`; the first letters are enough",
  "  stays left in     after a swap: the complaint stays, and the shop's part is left in; `stays put back` if not",
  "  find ACT VALUE    something done or found out of turn: `find rail 24.1 V`, `find try_panel stays`,",
  "                    `find put back panel gone`, `find fix ribbon_loose gone`, `find replace panel stays`,",
  "                    `find keep panel`, `find take out panel`, `find look again gone`, `find proof run fails`",
  "  cannot [ACT]      this step, or another one, can't be done here: go on without it",
  "  took MINUTES      how long the step at hand took, before its answer",
  "  undo [STEP]       a finding was wrong: take it back (the last one, or that step) and keep the rest",
  "  why [FAULT]       what ruled faults out, and what would bring one back",
  "  candidates        the faults with their chances, two at once and something not listed included",
  "  standing          what is fitted, what was redone, whether the complaint is gone",
  "  outlook           expected cost and work from here to the end, and the owner's bill",
  "  owner stops at N  what the owner wants to pay at most: it is said when the bill may pass it",
  "  not worth repairing   the owner stops: the job ends, and the machine goes back as it is",
  "  steps             what was done so far, and what else can be done now",
  "  came back         after the job: the machine came back, go on with what was found",
  "  help, quit        this list; stop",
]

/** Suspects and pairs beyond these are counted. */
const MOST = 12

export function candidates(session: Session, paint: Style): string[] {
  const left = session.candidates.filter(({ present }) => present > 0)
  if (left.length === 0) return [paint.warn("  Nothing fits the findings.")]
  const shown = left.slice(0, MOST)
  const names = shown.map(({ info }) => info?.name ?? "unlisted")
  const width = Math.max(...names.map(({ length }) => length))
  const listedFaults = session.candidates.filter(({ fault }) => fault !== undefined)
  const out = listedFaults.filter(({ present }) => present === 0).length
  return [
    ...shown.map(({ info, present, active }, i) => {
      const now = present - active > 5e-4 ? `, still active ${percent(active)}` : ""
      const label = info?.label ?? "something not listed"
      return plain(`  ${percent(present).padStart(8)}  ${at(names, i).padEnd(width)}  ${label}${now}`)
    }),
    ...(left.length > shown.length ? [`  and ${left.length - shown.length} less likely`] : []),
    ...pairs(session),
    `  ${out} of ${listedFaults.length} ruled out`,
  ]
}

function pairs({ pairs, candidates }: Session): string[] {
  const labels = new Map(candidates.flatMap(({ fault, info }) => (info ? [[fault, info.name]] : [])))
  return pairs
    .filter(({ chance }) => chance >= 0.02)
    .slice(0, 3)
    .map(({ faults: [a, b], chance }) =>
      plain(`  ${percent(chance).padStart(8)}  ${labels.get(a)} and ${labels.get(b)} together`),
    )
}

/** All that is ruled out, or one fault with what would bring it back. */
export function whyText(session: Session, graph: Graph, name: string | undefined, paint: Style): string[] {
  const all = session.candidates.filter(({ info }) => info && (name === undefined || info.name === name))
  if (all.length === 0) return [paint.warn(`  There is no fault \`${name}\`.`)]
  if (name !== undefined) return oneFault(session.why(name), session, graph)
  const lines = all.flatMap(({ info, out }) =>
    out === undefined || info === undefined
      ? []
      : [plain(`  ${info.name}: ruled out in step ${out.step + 1}, ${out.text}`)],
  )
  return lines.length > 0 ? lines : ["  Nothing is ruled out yet."]
}

function oneFault({ suspect, out, back }: Why, session: Session, graph: Graph): string[] {
  const name = suspect.info?.name ?? ""
  if (suspect.present > 0) {
    const cured = suspect.present - suspect.active > 5e-4 ? `, still active ${percent(suspect.active)}` : ""
    return [plain(`  ${name}: not ruled out, ${percent(suspect.present)}${cured}`)]
  }
  return [
    ...out.map(({ step, text }) => plain(`  ${name}: ruled out in step ${step + 1}, ${text}`)),
    back.length === 0
      ? "  No single wrong finding would bring it back."
      : "  It would be back if one of these were wrong:",
    ...back.map((step) => plain(`    step ${step + 1}, ${entryText(graph, session.log[step])}`)),
  ]
}

export function standing({ standing: { fitted, redone, gone, changed, whole } }: Session): string[] {
  const look = gone === undefined ? "not looked for yet" : gone ? "gone at the last look" : "stays"
  return [
    plain(`  the shop's parts in the machine: ${placesText(fitted)}`),
    plain(`  redone: ${placesText(redone)}`),
    `  the complaint: ${look}${changed ? ", and something was changed since" : ""}`,
    `  chance that nothing is wrong as the machine stands: ${percent(whole)}`,
    ...(fitted.length > 0
      ? [plain(`  Before closing, each of the shop's parts must come out or be kept.`)]
      : []),
  ]
}

export function outlookText({ outlook }: Session, graph: Graph): string[] {
  const { cost, parts, minutes: work, handedOver, by } = outlook
  return [
    `  expected from here to the end${by === "graph" ? "" : " (an estimate: the graph has no plan for this path)"}:`,
    plain(`  ${money(cost, graph.money)}, of which parts ${money(parts, graph.money)}`),
    `  ${minutes(work)} of work`,
    `  handed over in ${percent(handedOver)} of such jobs`,
  ]
}

const alarms: Readonly<Record<Suspicion["of"], readonly [what: string, advice: string]>> = {
  "two faults": [
    "Two faults at once have become likely",
    "One repair may not be enough: look for the complaint after each.",
  ],
  "not listed": [
    "A fault that nobody listed has become likely",
    "Don't trust the suspects too far, and don't buy a part on them alone.",
  ],
}

/** That two faults, or something not listed, have become likely, with the findings that speak for it. */
export function suspicionText(
  { of, chance, steps }: Suspicion,
  session: Session,
  graph: Graph,
  paint: Style,
): string[] {
  const [what, advice] = alarms[of]
  return [
    paint.warn(`  ! ${what}: ${percent(chance)}. ${advice}`),
    ...(steps.length === 0 ? [] : ["    What speaks for it:"]),
    ...steps.slice(0, 4).map((at) => plain(`      step ${at + 1}, ${entryText(graph, session.log[at])}`)),
  ]
}

export function stepsText(session: Session, graph: Graph): string[] {
  const done = session.log.map((entry, i) =>
    plain(`  ${String(i + 1).padStart(3)}  ${entryText(graph, entry)}`),
  )
  const { next } = session
  const more = session.steps.map(({ act, minutes: took }) => {
    const isNext = "act" in next && typedAct(next.act) === typedAct(act)
    return plain(`    ${isNext ? "> " : "  "}${typedAct(act)}, ${minutes(took)}`)
  })
  return [
    ...(done.length > 0 ? ["  Done:", ...done] : []),
    "  Can be done now:",
    ...(more.length > 0 ? more : ["       nothing"]),
  ]
}

/** `try_panel: complaint stays`, by the names that are typed. */
export function entryText(graph: Graph, entry: Entry | undefined): string {
  const { what, found } = entryParts(graph, entry)
  const name =
    entry === undefined || "cameBack" in entry ? what : typedAct("cannot" in entry ? entry.cannot : entry.act)
  return `${name}: ${found}`
}
