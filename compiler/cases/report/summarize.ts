/** The report of all that was gathered. */

import type { GraphNode } from "../../run/graph.ts"
import { at } from "../../run/lookup.ts"
import { isRepair } from "../record/case.ts"
import type { GraphIndex } from "../replay/graph-index.ts"
import { wilson } from "../stats/wilson.ts"
import { type Counts, type Gathered, repairNumber, repairOf } from "./counts.ts"
import { Labels } from "./labels.ts"
import type { Branch, EndingName, FaultCount, RepairCount, Report, RuleCount, TestCount } from "./report.ts"

const MOST_BRANCHES = 20

const noteOrder: Readonly<Record<EndingName, number>> = { comesBack: 0, handedOver: 1, open: 2, fixed: 3 }

export function summary(index: GraphIndex, gathered: Gathered): Report {
  const { counts } = gathered
  const { graph } = index
  const { totals } = counts
  const { cases, fixed, comesBack, handedOver, open } = counts.decided
  const decided = cases - open
  return {
    ruleset: { name: graph.ruleset.name, version: graph.ruleset.version, source: graph.ruleset.source },
    money: graph.money,
    cases: totals.cases,
    cameBack: totals.cameBack,
    notWorthRepairing: totals.notWorthRepairing,
    unconfirmed: totals.unconfirmed,
    unlisted: totals.unlisted,
    twoFaults: totals.twoFaults,
    endings: {
      fixed: wilson(fixed, decided),
      comesBack: wilson(comesBack, decided),
      handedOver: wilson(handedOver, decided),
      rightly: wilson(totals.rightly, handedOver),
      open: wilson(open, cases),
    },
    handedOverSuspected: totals.handedOverSuspected,
    inVain: {
      cases: wilson(totals.inVainCases, decided),
      parts: totals.inVainParts,
      money: totals.inVainMoney,
      bought: totals.bought,
    },
    advised: totals.advised,
    openEnds: counts.ends,
    allEnds: {
      fixed: (fixed + counts.ends.fixed) / Math.max(1, cases),
      comesBack: (comesBack + counts.ends.comesBack) / Math.max(1, cases),
      handedOver: (handedOver + counts.ends.handedOver) / Math.max(1, cases),
      notFollowed: counts.ends.notFollowed / Math.max(1, cases),
    },
    inferred: { cases: totals.inferredCases, steps: totals.inferredSteps },
    minutes: gathered.minutes.result(),
    spent: gathered.spent.result(),
    total: gathered.total.result(),
    calibration: { repairs: gathered.repairs.result(), closings: gathered.closings.result() },
    faults: graph.faults.map(({ name, label }, i): FaultCount => ({ name, label, ...at(counts.faults, i) })),
    tests: testCounts(index, counts),
    repairs: repairCounts(index, counts),
    rules: graph.rules.map((rule, i): RuleCount => ({ ...rule, rule: i, used: at(counts.rules, i) })),
    branches: branches(index, counts),
    mistakes: counts.mistakes.toSorted((a, b) => Number(b.cameBack) - Number(a.cameBack) || a.line - b.line),
    mistakesInAll: totals.mistakesInAll,
    noted: counts.noted.toSorted(
      (a, b) =>
        Number(b.cameBack) - Number(a.cameBack) ||
        noteOrder[a.ending] - noteOrder[b.ending] ||
        a.line - b.line,
    ),
    notedInAll: totals.notedInAll,
  }
}

function testCounts({ graph, edges, from }: GraphIndex, { taken, strayed }: Counts): TestCount[] {
  const used = graph.tests.map(({ name }) => ({ name, used: 0, putBack: 0 }))
  const count = (node: GraphNode, times: number) => {
    if (node.do === "test") at(used, node.test).used += times
    if (node.do !== "putBack") return
    const test = graph.model.tests.findIndex(
      ({ parts = [] }, t) => at(graph.tests, t).kind === "swaps" && parts.includes(node.part),
    )
    if (test !== -1) at(used, test).putBack += times
  }
  edges.forEach((_, edge) => {
    count(at(graph.nodes, at(from, edge)), at(taken, edge))
  })
  graph.nodes.forEach((node, n) => {
    count(node, at(strayed, n))
  })
  return used
}

/** Each once: the repairs of the graph in the order in which it has them, then what the runner made beyond it. */
function repairCounts({ graph }: GraphIndex, { repaired, vain }: Counts): RepairCount[] {
  const planned = graph.nodes.flatMap((node) => (isRepair(node) ? [repairNumber(graph, node)] : []))
  const beyond = [...repaired.keys()].filter((number) => at(repaired, number) > 0)
  return [...new Set([...planned, ...beyond])].map((number) => {
    const repair = repairOf(graph, number)
    const { name } = repair.do === "fix" ? at(graph.faults, repair.fault) : at(graph.places, repair.part)
    return { do: repair.do, name, used: at(repaired, number), inVain: at(vain, number) }
  })
}

function branches({ graph, edges, from, reach }: GraphIndex, counts: Counts): Report["branches"] {
  const labels = new Labels(graph)
  const idle: Branch[] = []
  let taken = 0
  edges.forEach(({ on, chance }, number) => {
    const index = at(from, number)
    const node = at(graph.nodes, index)
    if (!("edges" in node)) return
    if (at(counts.taken, number) > 0) taken++
    else idle.push({ node: index, ...labels.outcome(node, on), chance: at(reach, index) * chance })
  })
  idle.sort((a, b) => b.chance - a.chance || a.node - b.node)
  return { taken, of: edges.length, idle: idle.slice(0, MOST_BRANCHES), idleInAll: idle.length }
}
