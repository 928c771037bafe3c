/** Counts walks, one case at a time, in memory that does not grow with the number of cases. */
import { addTo, at } from "../../run/lookup.ts"
import type { Case } from "../record/case.ts"
import { type Blame, Blamer } from "../replay/blame.ts"
import { Decisions } from "../replay/decisions.ts"
import type { GraphIndex } from "../replay/graph-index.ts"
import { endsOf, isRight, lossOf } from "../replay/judge.ts"
import { recordedSpending } from "../replay/spending.ts"
import { type Walk, Walker } from "../replay/walk.ts"
import {
  addBounded,
  type Counts,
  type FaultEndings,
  type Gathered,
  join,
  noCounts,
  nothingGathered,
  numberOfRepairs,
  repairNumber,
  type TallyData,
} from "./counts.ts"
import { endingName, Labels } from "./labels.ts"
import type { Report } from "./report.ts"
import { summary } from "./summarize.ts"

export class Tally {
  readonly #index: GraphIndex
  readonly #walker: Walker
  readonly #blamer: Blamer
  readonly #decisions: Decisions
  readonly #labels: Labels
  readonly #all: Gathered
  readonly #counts: Counts

  constructor(index: GraphIndex) {
    const { graph, trueMachine, edges } = index
    this.#index = index
    this.#walker = new Walker(index)
    this.#blamer = new Blamer(graph, trueMachine)
    this.#decisions = new Decisions(index)
    this.#labels = new Labels(graph)
    this.#counts = noCounts({
      faults: graph.faults.length,
      edges: edges.length,
      nodes: graph.nodes.length,
      repairs: numberOfRepairs(graph),
      rules: graph.rules.length,
    })
    this.#all = nothingGathered(this.#counts)
  }

  /** Walks the case and counts it. */
  add(record: Case): Walk {
    const walk = this.#walker.walk(record)
    const { totals } = this.#counts
    totals.cases++
    if (record.cameBack) totals.cameBack++
    if (record.notWorthRepairing) totals.notWorthRepairing++
    if (walk.inferred > 0) totals.inferredCases++
    totals.inferredSteps += walk.inferred
    if (walk.advised) totals.advised++
    this.#cover(walk)
    if (record.confirmed.kind === "unknown") totals.unconfirmed++
    else {
      this.#ending(record, walk)
      this.#spending(record, walk)
      this.#forecasts(record, walk)
      this.#blame(record, this.#blamer.blames(record), walk)
    }
    return walk
  }

  #cover({ edges, repairs, strayed }: Walk): void {
    if (strayed !== undefined) addTo(this.#counts.strayed, strayed, 1)
    for (const repair of repairs) addTo(this.#counts.repaired, repairNumber(this.#index.graph, repair), 1)
    const acted = new Set<number>()
    for (const edge of edges) {
      addTo(this.#counts.taken, edge, 1)
      for (const rule of at(this.#index.edges, edge).because) acted.add(rule)
    }
    for (const rule of acted) addTo(this.#counts.rules, rule, 1)
  }

  #ending(record: Case, walk: Walk): void {
    const { totals, decided, faults, ends } = this.#counts
    const { confirmed } = record
    const { ending, open, spent } = walk
    if (confirmed.kind === "unlisted") totals.unlisted++
    const confirmedFaults = confirmed.kind === "faults" ? confirmed.faults : []
    if (confirmedFaults.length > 1) totals.twoFaults++
    const counted: FaultEndings[] = [decided, ...confirmedFaults.map((fault) => at(faults, fault))]
    for (const count of counted) {
      count.cases++
      count[endingName(ending)]++
      if (ending.kind !== "open" && spent.inVain > 0) count.inVain++
    }
    if (ending.kind === "handover") {
      if (ending.rightly) totals.rightly++
      if (ending.suspected) totals.handedOverSuspected++
    }
    if (open) for (const end of Object.keys(ends) as (keyof typeof ends)[]) ends[end] += open.ends[end]
    if (record.cameBack || !isRight(ending) || spent.inVain > 0) {
      totals.notedInAll++
      addBounded(this.#counts.noted, this.#labels.noted(record, walk))
    }
  }

  #spending(record: Case, walk: Walk): void {
    const { ending, spent } = walk
    if (ending.kind === "open") return
    const { graph, trueMachine } = this.#index
    const { totals } = this.#counts
    totals.bought += spent.bought.length
    if (spent.inVain > 0) totals.inVainCases++
    totals.inVainParts += spent.inVain
    totals.inVainMoney += spent.inVainMoney
    const recorded = recordedSpending(trueMachine, record)
    if (ending.kind === "closed" && ending.fixed) {
      this.#all.minutes.add(spent.minutes, recorded.minutes)
      this.#all.spent.add(spent.money, recorded.money)
    }
    const recordedLoss =
      (record.cameBack ? graph.comeback : 0) +
      (record.steps.some((step) => step.do === "handOver") ? graph.handover : 0)
    this.#all.total.add(spent.money + lossOf(graph, endsOf(walk)), recorded.money + recordedLoss)
  }

  #forecasts(record: Case, walk: Walk): void {
    if (record.confirmed.kind !== "faults") return
    const { graph } = this.#index
    for (const { of, chance, came } of this.#decisions.forecasts(record, walk))
      this.#all[of === "repair" ? "repairs" : "closings"].add(chance, came)
    const { faults } = record.confirmed
    for (const repair of walk.repairs) {
      const inVain =
        repair.do === "fix"
          ? !faults.includes(repair.fault)
          : faults.every((fault) => at(graph.faults, fault).place !== repair.part)
      if (inVain) addTo(this.#counts.vain, repairNumber(graph, repair), 1)
    }
  }

  #blame(record: Case, found: readonly Blame[], { ending, edges }: Walk): void {
    if (found.length === 0) return
    const faults = record.confirmed.kind === "faults" ? record.confirmed.faults : []
    const onWalk =
      (ending.kind === "handover" && ending.noneFits !== undefined) ||
      edges.some((edge) => at(this.#index.edges, edge).rulesOut.some((fault) => faults.includes(fault)))
    for (const blame of found) {
      this.#counts.totals.mistakesInAll++
      addBounded(this.#counts.mistakes, this.#labels.mistake(record, blame, onWalk))
    }
  }

  /** What has been gathered, as plain data for another thread. */
  get data(): TallyData {
    const { counts, minutes, spent, total, repairs, closings } = this.#all
    return {
      counts,
      minutes: minutes.sums,
      spent: spent.sums,
      total: total.sums,
      repairs: repairs.sums,
      closings: closings.sums,
    }
  }

  /** Joins what another tally of the same graph has gathered. */
  join(other: TallyData): void {
    join(this.#all, other)
  }

  report(): Report {
    return summary(this.#index, this.#all)
  }
}
