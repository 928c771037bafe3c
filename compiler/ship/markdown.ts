import type { Graph, GraphProof, GraphReading } from "../run/graph.ts"
import type { NodeIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { countOf, minutes as minutesText, percent, withUnit } from "../wording/figures.ts"
import { cellsText } from "../wording/ranges.ts"
import { listed, sentence } from "../wording/sentence.ts"
import { type DrawnEdge, type DrawnStep, drawingOf } from "./drawing.ts"
import { markdownText } from "./escaping.ts"
import { picturePath } from "./pictures.ts"

/**
 * A bench card in Markdown (CommonMark 0.31 with the tables of GitHub Flavored Markdown): cautions, limits, steps in the
 * order in which most jobs go, and what must hold before the machine goes back. Branches that fewer jobs than
 * `least` get to are left out, and the card says so.
 */
export function writeMarkdown(graph: Graph, { least = 0.002 }: { readonly least?: number } = {}): string {
  const { ruleset, complaint } = graph
  const { steps, folded, covered } = drawingOf(graph, least)
  const card: Card = {
    graph,
    numbers: new Map(steps.filter(isAction).map(({ node }, i) => [node, i + 1])),
    byNode: new Map(steps.map((step) => [step.node, step])),
  }
  const missing = `${percent(covered)} of jobs stay on this card. ${countOf(folded, "less likely step")} of the graph ${folded === 1 ? "is" : "are"} left out.`
  return blocks([
    `# ${markdownText(ruleset.title)}`,
    `Complaint: ${markdownText(sentence(complaint.text))} Version ${markdownText(ruleset.version)}.${folded === 0 ? "" : ` ${missing}`}`,
    "Local codes and licensed practice come before anything on this card.",
    ...cautions(graph),
    ...limits(graph),
    "## Steps",
    ...steps.filter(isAction).flatMap((step) => stepBlocks(card, step)),
    // A graph that starts with its end.
    ...(card.numbers.size === 0 ? [ending(graph, at(steps, 0))] : []),
    ...proofs(graph.proofs, graph),
  ])
}

interface Card {
  readonly graph: Graph
  /** By node, the number of its step on the card. */
  readonly numbers: ReadonlyMap<number, number>
  readonly byNode: ReadonlyMap<number, DrawnStep>
}

const isAction = ({ kind }: DrawnStep) => kind !== "handover" && kind !== "advise"

function blocks(all: readonly string[]): string {
  return `${all.join("\n\n")}\n`
}

function cautions(graph: Graph): string[] {
  const byCaution = new Map<string, string[]>()
  for (const { instruction, cautions } of graph.tests)
    for (const caution of cautions) byCaution.set(caution, [...(byCaution.get(caution) ?? []), instruction])
  if (byCaution.size === 0) return []
  const items = [...byCaution].map(
    ([caution, at]) => `- **${markdownText(caution)}** At: ${at.map(markdownText).join("; ")}`,
  )
  return ["## Cautions", items.join("\n")]
}

/** The cell in which a healthy machine is found most of the time is in bold. */
function limits(graph: Graph): string[] {
  const rows = graph.readings.flatMap((reading, r) => {
    if (reading.told) return []
    const healthy = at(graph.model.healthy, r)
    const cells = reading.cells.map(({ label }, c) =>
      at(healthy, c) > 0.5 ? `**${markdownText(label)}**` : markdownText(label),
    )
    return [`| ${markdownText(reading.question)} | ${cells.join("; ")} | ${range(reading)} |`]
  })
  if (rows.length === 0) return []
  return [
    "## Limits",
    "In bold: what a healthy machine shows most of the time.",
    ["| Reading | Found | Range |", "| --- | --- | --- |", ...rows].join("\n"),
  ]
}

function range({ from, to, by, unit }: GraphReading): string {
  return by === undefined ? "" : markdownText(`${from} to ${withUnit(to ?? "", unit)} by ${by}`)
}

function stepBlocks(card: Card, step: DrawnStep): string[] {
  const facts = step.facts.length === 0 ? "" : `${markdownText(step.facts.join(", "))}. `
  return [
    `### Step ${card.numbers.get(step.node)}: ${markdownText(step.title)}`,
    ...step.cautions.map((caution) =>
      [`> **Caution:** ${markdownText(caution)}`, ...shown(step, caution)].join("\n>\n> "),
    ),
    ...step.remedies.map(markdownText),
    ...shown(step, undefined),
    ...(step.disturbs.length === 0
      ? []
      : [`Disturbs on the way: ${markdownText(sentence(listed(step.disturbs)))}`]),
    ...(step.kind === "close" ? closing(card.graph, step.node) : []),
    `${facts}${percent(step.reach)} of jobs get here.`,
    step.ways.map((way) => wayText(card, way)).join("\n"),
  ]
}

/** The pictures of a caution, or those of the step itself, from the folder beside the card. */
function shown({ pictures }: DrawnStep, of: string | undefined): string[] {
  return pictures
    .filter(({ caution }) => caution === of)
    .map(({ picture, text }) => `![${markdownText(text)}](${picturePath(picture)})`)
}

function wayText(
  { graph, numbers, byNode }: Card,
  { label, chance, to, rulesOut, because }: DrawnEdge,
): string {
  const target = typeof to === "number" ? byNode.get(to) : undefined
  const next =
    to === "end"
      ? "the job is done"
      : target === undefined
        ? "not on this card: ask a senior technician, or run the graph"
        : isAction(target)
          ? `step ${numbers.get(target.node)}`
          : ending(graph, target)
  const reasons = because.flatMap((rule) => at(graph.rules, rule).because ?? [])
  const out = rulesOut.map((fault) => at(graph.faults, fault).label)
  const why =
    out.length === 0 || out.length > 4
      ? ""
      : ` Rules out ${out.map(markdownText).join("; ")}${reasons.length === 1 ? ` (${markdownText(at(reasons, 0))})` : ""}.`
  return `- ${markdownText(label)} (${percent(chance)}): ${next}.${why}`
}

/** What is on the list before the machine goes back, of the proofs that count on this way. */
function closing({ nodes, proofs }: Graph, index: NodeIndex): string[] {
  const node = at(nodes, index)
  if (node.do !== "close") return []
  const runs = node.proofs.map((proof) => at(proofs, proof).text)
  return [
    "Everything that came off or out is back in its place, and no part of the shop's is left in.",
    ...(runs.length === 0 ? [] : [`Proof run: ${markdownText(sentence(runs.join("; ")))}`]),
  ]
}

/** Candidates with less chance aren't worth telling whoever takes the machine. */
const WORTH_TELLING = 0.05

/** Where the card ends without a repair: handing over with what is still likely, or a branch that isn't planned. */
function ending(graph: Graph, { node: index, title }: DrawnStep): string {
  const node = at(graph.nodes, index)
  const likely =
    node.do === "handover"
      ? node.candidates
          .filter(({ active }) => active >= WORTH_TELLING)
          .map(({ fault, active }) => {
            const label = fault === undefined ? "something not listed" : at(graph.faults, fault).label
            return `${markdownText(label)} ${percent(active)}`
          })
      : []
  return `**${markdownText(title)}**${likely.length === 0 ? "" : ` (still likely: ${likely.slice(0, 4).join(", ")})`}`
}

function proofs(all: readonly GraphProof[], graph: Graph): string[] {
  if (all.length === 0) return []
  const items = all.map(({ text, times, minutes, expects, places = [] }) => {
    const facts = [
      ...(times > 1 ? [`${times} times in a row`] : []),
      ...(minutes > 0 ? [`${minutesText(minutes)}${times > 1 ? " each" : ""}`] : []),
      ...(expects === undefined
        ? []
        : [
            `${at(graph.readings, expects.reading).name}: ${cellsText(at(graph.readings, expects.reading), expects.cells)}`,
          ]),
      ...(places.length === 0
        ? []
        : [`after work on: ${listed(places.map((p) => at(graph.places, p).label))}`]),
    ]
    return `- [ ] ${markdownText(text)}${facts.length === 0 ? "" : ` (${markdownText(facts.join("; "))})`}`
  })
  return ["## Before the machine goes back", items.join("\n")]
}
