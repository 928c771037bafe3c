import type { Graph, GraphProof, GraphReading } from "../run/graph.ts"
import type { NodeIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import * as m from "../wording/compiled/card.ts"
import * as common from "../wording/compiled/common.ts"
import { cellLabel, cellsText } from "../wording/ranges.ts"
import { sentence } from "../wording/sentence.ts"
import { english, type Words } from "../wording/words.ts"
import { type DrawingOptions, type DrawnEdge, type DrawnStep, drawingOf } from "./drawing.ts"
import { markdownText } from "./escaping.ts"
import { picturePath } from "./pictures.ts"

/**
 * A bench card in Markdown (CommonMark 0.31 with the tables of GitHub Flavored Markdown): cautions, limits, steps in the
 * order in which most jobs go, and what must hold before the machine goes back. Branches that fewer jobs than
 * `least` get to are left out, and the card says so.
 */
export function writeMarkdown(graph: Graph, { least = 0.002, words = english }: DrawingOptions = {}): string {
  const { ruleset, complaint } = graph
  const { steps, folded, covered } = drawingOf(graph, { least, words })
  const card: Card = {
    graph,
    words,
    numbers: new Map(steps.filter(isAction).map(({ node }, i) => [node, i + 1])),
    byNode: new Map(steps.map((step) => [step.node, step])),
  }
  const about = words.say(m.cardComplaint, {
    complaint: markdownText(sentence(complaint.text)),
    version: markdownText(ruleset.version),
  })
  const missing = words.say(m.cardCoverage, { share: words.percent(covered), n: folded })
  return blocks([
    `# ${markdownText(ruleset.title)}`,
    folded === 0 ? about : `${about} ${missing}`,
    words.say(m.cardLocalCodes),
    ...cautions(card),
    ...limits(card),
    `## ${words.say(m.cardSteps)}`,
    ...steps.filter(isAction).flatMap((step) => stepBlocks(card, step)),
    // A graph that starts with its end.
    ...(card.numbers.size === 0 ? [ending(card, at(steps, 0))] : []),
    ...proofs(card),
  ])
}

interface Card {
  readonly graph: Graph
  readonly words: Words
  /** By node, the number of its step on the card. */
  readonly numbers: ReadonlyMap<number, number>
  readonly byNode: ReadonlyMap<number, DrawnStep>
}

const isAction = ({ kind }: DrawnStep) => kind !== "handover" && kind !== "advise"

function blocks(all: readonly string[]): string {
  return `${all.join("\n\n")}\n`
}

function cautions({ graph, words }: Card): string[] {
  const byCaution = new Map<string, string[]>()
  for (const { instruction, cautions } of graph.tests)
    for (const caution of cautions) byCaution.set(caution, [...(byCaution.get(caution) ?? []), instruction])
  if (byCaution.size === 0) return []
  const items = [...byCaution].map(([caution, at]) => {
    const where = words.say(m.cardCautionAt, { where: at.map(markdownText).join("; ") })
    return `- **${markdownText(caution)}** ${where}`
  })
  return [`## ${words.say(m.cardCautions)}`, items.join("\n")]
}

/** The cell in which a healthy machine is found most of the time is in bold. */
function limits({ graph, words }: Card): string[] {
  const rows = graph.readings.flatMap((reading, r) => {
    if (reading.told) return []
    const healthy = at(graph.model.healthy, r)
    const cells = reading.cells.map((cell, c) => {
      const label = markdownText(cellLabel(cell, words))
      return at(healthy, c) > 0.5 ? `**${label}**` : label
    })
    return [`| ${markdownText(reading.question)} | ${cells.join("; ")} | ${range(reading, words)} |`]
  })
  if (rows.length === 0) return []
  const head = [m.cardReading, m.cardFound, m.cardRange].map((each) => words.say(each)).join(" | ")
  return [
    `## ${words.say(m.cardLimits)}`,
    words.say(m.cardInBold),
    [`| ${head} |`, "| --- | --- | --- |", ...rows].join("\n"),
  ]
}

function range({ from = 0, to = 0, by, unit }: GraphReading, words: Words): string {
  if (by === undefined) return ""
  const [low, step] = [from, by].map((value) => words.withUnit(value, undefined)) as [string, string]
  return markdownText(words.say(m.cardRangeBy, { from: low, to: words.withUnit(to, unit), step }))
}

function stepBlocks(card: Card, step: DrawnStep): string[] {
  const { words } = card
  const facts = step.facts.length === 0 ? "" : `${markdownText(step.facts.join(", "))}. `
  const n = card.numbers.get(step.node) ?? 0
  return [
    `### ${words.say(m.cardStep, { n, title: markdownText(step.title) })}`,
    ...step.cautions.map((caution) =>
      [`> **${words.say(m.cardCaution)}** ${markdownText(caution)}`, ...shown(step, caution)].join("\n>\n> "),
    ),
    ...step.remedies.map(markdownText),
    ...shown(step, undefined),
    ...(step.disturbs.length === 0
      ? []
      : [words.say(m.cardDisturbs, { what: markdownText(sentence(words.listed(step.disturbs))) })]),
    ...(step.kind === "close" ? closing(card, step.node) : []),
    `${facts}${words.say(m.cardReach, { share: words.percent(step.reach) })}`,
    step.ways.map((way) => wayText(card, way)).join("\n"),
  ]
}

/** The pictures of a caution, or those of the step itself, from the folder beside the card. */
function shown({ pictures }: DrawnStep, of: string | undefined): string[] {
  return pictures
    .filter(({ caution }) => caution === of)
    .map(({ picture, text }) => `![${markdownText(text)}](${picturePath(picture)})`)
}

function wayText(card: Card, { label, chance, to, rulesOut, because }: DrawnEdge): string {
  const { graph, words } = card
  const reasons = because.flatMap((rule) => at(graph.rules, rule).because ?? [])
  const out = rulesOut.map((fault) => at(graph.faults, fault).label)
  const what = out.map(markdownText).join("; ")
  const why =
    reasons.length === 1
      ? words.say(m.cardRulesOutBecause, { what, because: markdownText(at(reasons, 0)) })
      : words.say(m.cardRulesOut, { what })
  const way = `- ${markdownText(label)} (${words.percent(chance)}): ${targetText(card, to)}.`
  return out.length === 0 || out.length > 4 ? way : `${way} ${why}`
}

function targetText(card: Card, to: DrawnEdge["to"]): string {
  const { numbers, byNode, words } = card
  if (to === "end") return words.say(m.cardJobDone)
  const target = to === undefined ? undefined : byNode.get(to)
  if (target === undefined) return words.say(m.cardNotHere)
  if (!isAction(target)) return ending(card, target)
  return words.say(common.atStep, { n: numbers.get(target.node) ?? 0 })
}

/** What is on the list before the machine goes back, of the proofs that count on this way. */
function closing({ graph: { nodes, proofs }, words }: Card, index: NodeIndex): string[] {
  const node = at(nodes, index)
  if (node.do !== "close") return []
  const runs = node.proofs.map((proof) => at(proofs, proof).text)
  const what = markdownText(sentence(runs.join("; ")))
  return [words.say(m.cardAllBack), ...(runs.length === 0 ? [] : [words.say(m.cardProofRun, { what })])]
}

/** Candidates with less chance aren't worth telling whoever takes the machine. */
const WORTH_TELLING = 0.05

/** Where the card ends without a repair: handing over with what is still likely, or a branch that isn't planned. */
function ending({ graph, words }: Card, { node: index, title }: DrawnStep): string {
  const node = at(graph.nodes, index)
  const likely =
    node.do === "handover"
      ? node.candidates
          .filter(({ active }) => active >= WORTH_TELLING)
          .map(({ fault, active }) => {
            const label = fault === undefined ? words.say(common.notListed) : at(graph.faults, fault).label
            return `${markdownText(label)} ${words.percent(active)}`
          })
      : []
  const what = likely.slice(0, 4).join(", ")
  return `**${markdownText(title)}**${likely.length === 0 ? "" : ` ${words.say(m.cardStillLikely, { what })}`}`
}

function proofs(card: Card): string[] {
  const { proofs: all } = card.graph
  if (all.length === 0) return []
  const items = all.map((proof) => {
    const facts = proofFacts(card, proof)
    return `- [ ] ${markdownText(proof.text)}${facts.length === 0 ? "" : ` (${markdownText(facts.join("; "))})`}`
  })
  return [`## ${card.words.say(m.cardBeforeItGoes)}`, items.join("\n")]
}

function proofFacts({ graph, words }: Card, proof: GraphProof): string[] {
  const { times, minutes, expects, places = [] } = proof
  const time = words.minutes(minutes)
  const reading = expects && at(graph.readings, expects.reading)
  const what = words.listed(places.map((place) => at(graph.places, place).label))
  return [
    ...(times > 1 ? [words.say(m.cardTimesInARow, { n: times })] : []),
    ...(minutes > 0 ? [times > 1 ? words.say(common.timeEach, { time }) : time] : []),
    ...(reading && expects ? [`${reading.name}: ${cellsText(reading, expects.cells, words)}`] : []),
    ...(places.length === 0 ? [] : [words.say(m.cardAfterWorkOn, { what })]),
  ]
}
