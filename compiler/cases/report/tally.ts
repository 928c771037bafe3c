/** Counts walks, one case at a time, in memory that does not grow with the number of cases. */

import type { Case } from "../record/case.ts"
import { type Blame, blames } from "../replay/blame.ts"
import type { GraphIndex } from "../replay/graph-index.ts"
import { type Ending, lossOf, type Verdict } from "../replay/judge.ts"
import { recordedSpending } from "../replay/spending.ts"
import { type Walk, walk } from "../replay/walk.ts"
import { brier } from "../stats/brier.ts"
import { type Counts, type Gathered, gatherer, join, keep, noCounts, type Sums } from "./counts.ts"
import { type Words, words } from "./labels.ts"
import type { Report } from "./report.ts"
import { summary } from "./summarize.ts"

export class Tally {
  readonly #index: GraphIndex
  readonly #words: Words
  readonly #all: Gathered
  readonly #counts: Counts

  constructor(index: GraphIndex) {
    this.#index = index
    this.#words = words(index.graph)
    const { graph, edges } = index
    this.#counts = noCounts(graph.faults.length, edges.length, graph.rules.length)
    this.#all = gatherer(this.#counts)
  }

  /** Walks the case and counts it. */
  add(record: Case): Walk {
    const walked = walk(this.#index, record)
    const counts = this.#counts
    counts.cases++
    if (record.cameBack) counts.cameBack++
    if (walked.inferred > 0) counts.inferredCases++
    counts.inferredSteps += walked.inferred
    if (walked.advised) counts.advised++
    this.#cover(walked)
    if (record.truth.known === "no") counts.unconfirmed++
    else {
      this.#verdict(record, walked)
      this.#spent(record, walked)
      this.#blame(record, blames(this.#index.graph, record), walked)
    }
    return walked
  }

  #cover(walked: Walk): void {
    const acted = new Set<number>()
    for (const edge of walked.edges) {
      this.#counts.taken[edge]!++
      for (const rule of this.#index.edges[edge]!.because) acted.add(rule)
    }
    for (const rule of acted) this.#counts.rules[rule]!++
  }

  #verdict(record: Case, { ending, open }: Walk): void {
    const counts = this.#counts
    const { truth } = record
    if (truth.known === "unlisted") counts.unlisted++
    const both = truth.known === "listed" ? [counts.decided, counts.faults[truth.fault]!] : [counts.decided]
    for (const count of both) {
      count.cases++
      if (ending.kind === "open") count.open++
      else if (ending.kind === "handover") count.handover++
      else if (!ending.mends) count.wrong++
      else {
        count.remedy++
        if (ending.named) count.named++
      }
    }
    if (ending.kind !== "open") {
      if (ending.listed) counts.inCandidates++
      if (ending.listed && ending.kind === "handover") counts.handoverListed++
      if (ending.listed && ending.kind === "verdict" && !ending.mends) counts.wrongListed++
    }
    if (ending.kind === "verdict") this.#calibrate(record, ending)
    if (open)
      for (const end of ["remedy", "wrong", "handover", "unfollowed"] as const)
        counts.ends[end] += open.ends[end]
    if (record.cameBack || ending.kind !== "verdict" || !ending.mends) this.#note(record, ending, open)
  }

  #calibrate(record: Case, ending: Verdict): void {
    const chances = new Float64Array(this.#index.graph.faults.length)
    for (const { fault, chance } of ending.candidates) chances[fault]! += chance
    const came = record.truth.known === "listed" ? record.truth.fault : -1
    this.#all.reliability.add(ending.chance, ending.mends, brier(chances, came))
  }

  #spent(record: Case, { ending, minutes, work }: Walk): void {
    if (ending.kind === "open") return
    const { graph } = this.#index
    const recorded = recordedSpending(graph, record, this.#words.told)
    if (ending.kind === "verdict") {
      this.#all.minutes.add(minutes, recorded.minutes)
      this.#all.work.add(work, recorded.work)
    }
    this.#all.total.add(work + lossOf(graph, ending), recorded.work + (record.cameBack ? graph.comeback : 0))
  }

  #blame(record: Case, found: readonly Blame[], walked: Walk): void {
    if (found.length === 0 || record.truth.known !== "listed") return
    const { fault } = record.truth
    const { ending } = walked
    const onWalk =
      (ending.kind === "handover" && ending.noneFits !== undefined) ||
      walked.edges.some((edge) => this.#index.edges[edge]!.rulesOut.includes(fault))
    for (const blame of found) {
      this.#counts.mistakesInAll++
      keep(this.#counts.mistakes, this.#words.mistake(record, fault, blame, onWalk))
    }
  }

  #note(record: Case, ending: Ending, asked: Walk["open"]): void {
    this.#counts.notedInAll++
    keep(this.#counts.noted, this.#words.noted(record, ending, asked))
  }

  /** What has been gathered, as plain data for another thread. */
  get sums(): Sums {
    const { counts, minutes, work, total, reliability } = this.#all
    return {
      counts,
      minutes: minutes.sums,
      work: work.sums,
      total: total.sums,
      reliability: reliability.sums,
    }
  }

  /** Joins what another tally of the same graph has gathered. */
  join(other: Sums): void {
    join(this.#all, other)
  }

  report(): Report {
    return summary(this.#index, this.#all)
  }
}
