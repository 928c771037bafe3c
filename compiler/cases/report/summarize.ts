/** The report of all that was gathered. */

import type { GraphIndex } from "../replay/graph-index.ts"
import { wilson } from "../stats/wilson.ts"
import type { Counts, Gathered } from "./counts.ts"
import { stepText } from "./labels.ts"
import type { Branch, FaultCount, Report, RuleCount, TestCount } from "./report.ts"

const mostBranches = 20

export function summary(index: GraphIndex, { counts, minutes, work, total, reliability }: Gathered): Report {
  const { graph } = index
  const { cases, remedy, named, wrong, handover, open } = counts.decided
  const decided = cases - open
  const order = { wrong: 0, handover: 1, open: 2, right: 3 }
  return {
    ruleset: { name: graph.ruleset.name, version: graph.ruleset.version, source: graph.ruleset.source },
    money: graph.money,
    cases: counts.cases,
    cameBack: counts.cameBack,
    unconfirmed: counts.unconfirmed,
    unlisted: counts.unlisted,
    verdicts: {
      remedy: wilson(remedy, decided),
      right: wilson(named, decided),
      inCandidates: wilson(counts.inCandidates, decided),
      wrong: wilson(wrong, decided),
      handover: wilson(handover, decided),
      open: wilson(open, cases),
    },
    wrongButCandidate: counts.wrongListed,
    handoverWithCandidate: counts.handoverListed,
    advised: counts.advised,
    openEnds: counts.ends,
    inferred: { cases: counts.inferredCases, steps: counts.inferredSteps },
    minutes: minutes.result(),
    work: work.result(),
    total: total.result(),
    calibration: reliability.result(),
    faults: graph.faults.map(({ name, label }, i): FaultCount => ({ name, label, ...counts.faults[i]! })),
    tests: testCounts(index, counts),
    rules: graph.rules.map((rule, i): RuleCount => ({ ...rule, rule: i, used: counts.rules[i]! })),
    branches: branches(index, counts),
    mistakes: counts.mistakes.toSorted((a, b) => Number(b.cameBack) - Number(a.cameBack) || a.line - b.line),
    mistakesInAll: counts.mistakesInAll,
    noted: counts.noted.toSorted(
      (a, b) =>
        Number(b.cameBack) - Number(a.cameBack) || order[a.ending] - order[b.ending] || a.line - b.line,
    ),
    notedInAll: counts.notedInAll,
  }
}

function testCounts({ graph, edges, from }: GraphIndex, { taken }: Counts): TestCount[] {
  const used = graph.tests.map(({ name }) => ({ name, used: 0, putBack: 0 }))
  edges.forEach((_, edge) => {
    const node = graph.nodes[from[edge]!]!
    if (node.do === "test") used[node.test]![node.putBack ? "putBack" : "used"] += taken[edge]!
  })
  return used
}

function branches({ graph, edges, from, reach }: GraphIndex, counts: Counts): Report["branches"] {
  const idle: Branch[] = []
  let taken = 0
  edges.forEach((edge, number) => {
    const node = graph.nodes[from[number]!]!
    if (node.do !== "test") return
    if (counts.taken[number]! > 0) {
      taken++
      return
    }
    idle.push({
      node: from[number]!,
      ...stepText(graph, node.test, node.putBack === true, edge.cells),
      chance: reach[from[number]!]! * edge.chance,
    })
  })
  idle.sort((a, b) => b.chance - a.chance || a.node - b.node)
  return { taken, of: edges.length, idle: idle.slice(0, mostBranches), idleInAll: idle.length }
}
