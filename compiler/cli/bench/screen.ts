/** What the walk at the bench shows. Everything from the graph is made safe to show here, by `style`. */
import type { Graph, GraphProof, Session, Step, Suspect } from "../../run/index.ts"
import { remedyText } from "../../ship/labels.ts"
import type { Style } from "../io/terminal.ts"
import { plain } from "../io/terminal.ts"

type StepOf<Kind> = Extract<Step, { do: Kind }>

const percent = (chance: number) => `${Math.round(chance * 100)} %`

/** A chance that rounds to none is still one. */
const near = (chance: number) => (chance > 0 && chance < 0.005 ? "< 1 %" : percent(chance))

export function opening(graph: Graph, paint: Style): string[] {
  const { title, name, version } = graph.ruleset
  return [
    paint.bold(`${title} (${name} ${version})`),
    plain(`Complaint \`${graph.complaint.name}\`: ${graph.complaint.text}.`),
    paint.dim("Answer what is asked, or type help."),
  ]
}

export const help = [
  "  an answer         what was found, like `yes`, `24.1 V` or `gone`; the first letters will do",
  "  find NAME VALUE   something was found out of turn: by a test, on a reading, by putting a part back",
  "  cannot            this step cannot be done here: go on without it",
  "  took MINUTES      how long the step at hand took, before its answer",
  "  undo [STEP]       a finding was wrong: take it back (the last one, or that step) and keep the rest",
  "  why [FAULT]       what ruled faults out, and by which step",
  "  candidates        the faults with their chances",
  "  standing          what is fitted, what was redone, what changed since the complaint was last seen",
  "  steps             what was done so far, and what else may be done now",
  "  help, quit        this list; stop without saving",
]

/** Cautions come before the hands do. */
export function testStep(step: StepOf<"test">, n: number, graph: Graph, paint: Style): string[] {
  const power = step.power === undefined ? [] : [`power ${step.power}`]
  const needs = step.needs.length > 0 ? [`needs ${step.needs.join(", ")}`] : []
  const facts = [...power, ...needs, `${step.minutes} min`, `${step.cost.toFixed(2)} ${graph.money}`]
  const what =
    step.putBack === undefined
      ? step.instruction
      : `Put the old ${placeLabel(graph, step.putBack)} back (it came out in: ${step.instruction})`
  return [
    "",
    paint.bold(`Step ${n}`) +
      paint.dim(`  ${step.putBack === undefined ? step.name : `put back ${step.putBack}`}`),
    ...step.cautions.map((caution) => paint.warn(`  Caution: ${caution}`)),
    plain(`  ${what}`),
    paint.dim(`  ${facts.join(", ")}${step.by === "model" ? "; worked out now, not in the graph" : ""}`),
  ]
}

function placeLabel(graph: Graph, name: string): string {
  return graph.places.find((place) => place.name === name)?.label ?? name
}

export function verdict(step: StepOf<"verdict">, graph: Graph, paint: Style): string[] {
  return [
    "",
    paint.good(`Verdict: ${remedyText(graph, step.remedy)}`) +
      plain(`  (${step.remedy.kind === "done" ? "certain" : "fixes it"}: ${near(step.chance)})`),
    ...step.faults.flatMap((fault) => [
      plain(`  ${fault.label} (${fault.name})  ${near(fault.chance)}`),
      ...fix(fault, graph),
    ]),
  ]
}

function fix({ remedy, fixCosts, fixTakes }: Suspect, graph: Graph): string[] {
  const facts = [
    ...(remedy === undefined ? [] : [remedy]),
    ...(fixTakes === undefined ? [] : [`${fixTakes} min`]),
    ...(fixCosts === undefined ? [] : [`${fixCosts} ${graph.money}`]),
  ]
  return facts.length > 0 ? [plain(`    ${facts.join(", ")}`)] : []
}

export function handover(step: StepOf<"handover">, session: Session, graph: Graph, paint: Style): string[] {
  const lines = [
    "",
    paint.warn("ReplayThread it over: going on here would cost more, or no listed fault fits."),
  ]
  if (step.atOdds.length === 0) return [...lines, ...candidates(session, paint)]
  return [
    ...lines,
    "  These findings are at odds:",
    ...step.atOdds.flatMap(({ step: at, faults }) => [
      plain(`  step ${at + 1}, ${entryText(session, graph, at)}`),
      ...faults.slice(0, 4).map(({ name, out }) => plain(`    ruled out ${name}: ${out?.text ?? ""}`)),
    ]),
    paint.dim("  If one of them was wrong, undo it."),
  ]
}

export function candidates(session: Session, paint: Style): string[] {
  const all = session.candidates
  const left = all.filter(({ chance }) => chance > 0)
  if (left.length === 0) return [paint.warn("  No listed fault fits.")]
  const shown = left.slice(0, 12)
  const width = Math.max(...shown.map(({ name }) => name.length))
  return [
    ...shown.map(({ name, label, chance, cured }) => {
      const of = cured > 0 ? `, of that cured ${near(cured)}` : ""
      return plain(`  ${near(chance).padStart(6)}  ${name.padEnd(width)}  ${label}${of}`)
    }),
    ...(left.length > shown.length ? [`  and ${left.length - shown.length} less likely`] : []),
    `  ${all.length - left.length} of ${all.length} ruled out`,
  ]
}

/** All that is ruled out, or one fault. */
export function why(session: Session, name: string | undefined, paint: Style): string[] {
  const all = session.candidates.filter((each) => name === undefined || each.name === name)
  if (all.length === 0) return [paint.warn(`  There is no fault \`${name}\`.`)]
  const lines = all.flatMap(({ name: fault, out, chance }) => {
    if (out !== undefined && chance === 0)
      return [plain(`  ${fault}: ruled out in step ${out.step + 1}, ${out.text}`)]
    return name === undefined ? [] : [plain(`  ${fault}: not ruled out, ${near(chance)}`)]
  })
  return lines.length > 0 ? lines : ["  Nothing is ruled out yet."]
}

export function standing(session: Session, paint: Style): string[] {
  const { fitted, redone, changed, doubt } = session.standing
  const list = (places: readonly { readonly label: string }[]) =>
    places.length > 0 ? places.map(({ label }) => label).join(", ") : "nothing"
  return [
    plain(`  known-good in the machine: ${list(fitted)}`),
    plain(`  redone: ${list(redone)}`),
    plain(`  changed since the complaint was last seen: ${list(changed)}`),
    ...(doubt ? doubtText(session, paint) : []),
  ]
}

/** Said after each finding as long as a cure has more than one explanation. */
export function doubtText(session: Session, paint: Style): string[] {
  const { doubt } = session.standing
  if (doubt === undefined) return []
  return [
    paint.warn(`  ! ${session.next.do === "verdict" ? enoughText(session.next, session) : doubt.text}`),
    ...doubt.explanations.map(({ label, chance }) => plain(`      ${near(chance).padStart(6)}  ${label}`)),
    ...(doubt.still > 0.0005
      ? [`      ${near(doubt.still).padStart(6)}  nothing cured: it comes and goes`]
      : []),
  ]
}

/** A verdict does not wait for the old part, and so does not ask for it. */
function enoughText({ chance }: StepOf<"verdict">, { steps, standing }: Session): string {
  const back = steps.find(({ putBack }) => putBack !== undefined)?.putBack
  const label = standing.fitted.find(({ name }) => name === back)?.label
  const tell =
    back === undefined
      ? ""
      : ` To tell, put the old ${label} back, then \`find ${back} gone\` or \`find ${back} stays\`.`
  return `Good enough: ${near(chance)}, though it may be another of these.${tell}`
}

export function steps(session: Session, graph: Graph): string[] {
  const done = session.log.map((_, i) =>
    plain(`  ${String(i + 1).padStart(3)}  ${entryText(session, graph, i)}`),
  )
  const more = session.steps.map(({ name, putBack, minutes, instruction }) =>
    plain(`       ${putBack === undefined ? name : `put back ${putBack}`}: ${instruction}, ${minutes} min`),
  )
  return [
    ...(done.length > 0 ? ["  Done:", ...done] : []),
    "  May be done now:",
    ...(more.length > 0 ? more : ["       nothing"]),
  ]
}

function entryText(session: Session, graph: Graph, at: number): string {
  const { test, reading, putBack, cannot, found, said } = session.log[at]!
  const name = test === undefined ? graph.readings[reading!]!.name : graph.tests[test]!.name
  if (cannot) return `${name}: cannot be done`
  return `${putBack ? `put back after ${name}` : name}: ${typeof found === "string" ? found : (said ?? []).join(", ")}`
}

export function proofText({ text, minutes }: GraphProof, n: number, times: number): string {
  const took = minutes > 0 ? ` (${minutes} min)` : ""
  return plain(`  ${times > 1 ? `[${n} of ${times}] ` : ""}${text}${took}`)
}
