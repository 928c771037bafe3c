/** Counts walks, one case at a time, in memory that does not grow with the number of cases. */
import { type Blame, blames } from "./blame.ts"
import { brier, Reliability } from "./brier.ts"
import type { Case } from "./case.ts"
import type { Ending, Verdict } from "./judge.ts"
import { PairedMeans } from "./paired.ts"
import type { Branch, FaultCount, Mistake, Noted, Report, RuleCount, TestCount } from "./report.ts"
import type { Ends } from "./spread.ts"
import type { Track } from "./track.ts"
import { type Walk, walk } from "./walk.ts"
import { wilson } from "./wilson.ts"
import { stepText, type Words, words } from "./words.ts"

/** Lists of the report hold no more than this; how many there were is said. */
const most = 1000
const mostBranches = 20

interface PerFault {
  cases: number
  remedy: number
  named: number
  wrong: number
  handover: number
  open: number
}

const none = (): PerFault => ({ cases: 0, remedy: 0, named: 0, wrong: 0, handover: 0, open: 0 })

export class Tally {
  readonly #track: Track
  readonly #words: Words
  #cases = 0
  #cameBack = 0
  #unconfirmed = 0
  #unlisted = 0
  #decided = none()
  #inCandidates = 0
  #wrongListed = 0
  #handoverListed = 0
  #advised = 0
  readonly #ends: Ends = { remedy: 0, wrong: 0, handover: 0, unfollowed: 0 }
  #inferredCases = 0
  #inferredSteps = 0
  readonly #minutes = new PairedMeans()
  readonly #work = new PairedMeans()
  readonly #total = new PairedMeans()
  readonly #reliability = new Reliability()
  readonly #faults: PerFault[]
  readonly #taken: Float64Array
  readonly #rules: Float64Array
  readonly #mistakes: Mistake[] = []
  #mistakesInAll = 0
  readonly #noted: Noted[] = []
  #notedInAll = 0

  constructor(track: Track) {
    this.#track = track
    this.#words = words(track.graph)
    this.#faults = track.graph.faults.map(none)
    this.#taken = new Float64Array(track.edges.length)
    this.#rules = new Float64Array(track.graph.rules.length)
  }

  /** Walks the case and counts it. */
  add(record: Case): Walk {
    const walked = walk(this.#track, record)
    this.#cases++
    if (record.cameBack) this.#cameBack++
    if (walked.inferred > 0) this.#inferredCases++
    this.#inferredSteps += walked.inferred
    if (walked.advised) this.#advised++
    this.#cover(walked)
    if (record.truth.known === "no") this.#unconfirmed++
    else {
      this.#verdict(record, walked)
      this.#spent(record, walked)
      this.#blame(record, blames(this.#track.graph, record), walked)
    }
    return walked
  }

  #cover(walked: Walk): void {
    const acted = new Set<number>()
    for (const edge of walked.edges) {
      this.#taken[edge]!++
      for (const rule of this.#track.edges[edge]!.because) acted.add(rule)
    }
    for (const rule of acted) this.#rules[rule]!++
  }

  #verdict(record: Case, { ending, open }: Walk): void {
    const { truth } = record
    if (truth.known === "unlisted") this.#unlisted++
    const counts = truth.known === "listed" ? [this.#decided, this.#faults[truth.fault]!] : [this.#decided]
    for (const count of counts) {
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
      if (ending.listed) this.#inCandidates++
      if (ending.listed && ending.kind === "handover") this.#handoverListed++
      if (ending.listed && ending.kind === "verdict" && !ending.mends) this.#wrongListed++
    }
    if (ending.kind === "verdict") this.#calibrate(record, ending)
    if (open)
      for (const end of ["remedy", "wrong", "handover", "unfollowed"] as const)
        this.#ends[end] += open.ends[end]
    if (record.cameBack || ending.kind !== "verdict" || !ending.mends) this.#note(record, ending, open)
  }

  #calibrate(record: Case, ending: Verdict): void {
    const chances = new Float64Array(this.#track.graph.faults.length)
    for (const { fault, chance } of ending.candidates) chances[fault]! += chance
    const came = record.truth.known === "listed" ? record.truth.fault : -1
    this.#reliability.add(ending.chance, ending.mends, brier(chances, came))
  }

  #spent(record: Case, { ending, minutes, work }: Walk): void {
    if (ending.kind === "open") return
    const { graph } = this.#track
    let recorded = record.otherMinutes
    let cost = (record.otherMinutes * graph.bench) / 60
    const spend = (test: number | undefined, minutes: number | undefined) => {
      const took = minutes ?? (test === undefined ? 0 : graph.tests[test]!.minutes)
      recorded += took
      cost += (took * graph.bench) / 60
      if (test !== undefined)
        cost += graph.tests[test]!.cost - (graph.tests[test]!.minutes * graph.bench) / 60
    }
    for (const step of record.steps) spend(step.test, step.minutes)
    for (const { reading } of record.told) spend(this.#words.told.get(reading), undefined)
    if (ending.kind === "verdict") {
      this.#minutes.add(minutes, recorded)
      this.#work.add(work, cost)
    }
    this.#total.add(work + this.#loss(ending), cost + (record.cameBack ? graph.comeback : 0))
  }

  #loss(ending: Ending): number {
    const { graph } = this.#track
    if (ending.kind === "handover") return graph.handover
    if (ending.kind !== "verdict" || ending.mends) return 0
    const wasted = ending.remedy.kind === "replace" ? ending.remedy.place : undefined
    return graph.comeback + (wasted === undefined ? 0 : (graph.places[wasted]!.price ?? 0))
  }

  #blame(record: Case, found: readonly Blame[], walked: Walk): void {
    if (found.length === 0 || record.truth.known !== "listed") return
    const { fault } = record.truth
    const { ending } = walked
    const onWalk =
      (ending.kind === "handover" && ending.noneFits !== undefined) ||
      walked.edges.some((edge) => this.#track.edges[edge]!.rulesOut.includes(fault))
    for (const blame of found) {
      this.#mistakesInAll++
      if (this.#mistakes.length < most) this.#mistakes.push(this.#words.mistake(record, fault, blame, onWalk))
    }
  }

  #note(record: Case, ending: Ending, asked: Walk["open"]): void {
    this.#notedInAll++
    // A case that came back is never dropped for one that did not.
    if (this.#noted.length >= most) {
      const last = record.cameBack ? this.#noted.findLastIndex((noted) => !noted.cameBack) : -1
      if (last < 0) return
      this.#noted.splice(last, 1)
    }
    this.#noted.push(this.#words.noted(record, ending, asked))
  }

  report(): Report {
    const { graph } = this.#track
    const { cases, remedy, named, wrong, handover, open } = this.#decided
    const decided = cases - open
    const order = { wrong: 0, handover: 1, open: 2, right: 3 }
    return {
      ruleset: { name: graph.ruleset.name, version: graph.ruleset.version, source: graph.ruleset.source },
      money: graph.money,
      cases: this.#cases,
      cameBack: this.#cameBack,
      unconfirmed: this.#unconfirmed,
      unlisted: this.#unlisted,
      verdicts: {
        remedy: wilson(remedy, decided),
        right: wilson(named, decided),
        inCandidates: wilson(this.#inCandidates, decided),
        wrong: wilson(wrong, decided),
        handover: wilson(handover, decided),
        open: wilson(open, cases),
      },
      wrongButCandidate: this.#wrongListed,
      handoverWithCandidate: this.#handoverListed,
      advised: this.#advised,
      openEnds: this.#ends,
      inferred: { cases: this.#inferredCases, steps: this.#inferredSteps },
      minutes: this.#minutes.result(),
      work: this.#work.result(),
      total: this.#total.result(),
      calibration: this.#reliability.result(),
      faults: this.#faultCounts(),
      tests: this.#testCounts(),
      rules: this.#ruleCounts(),
      branches: this.#branches(),
      mistakes: [...this.#mistakes].sort(
        (a, b) => Number(b.cameBack) - Number(a.cameBack) || a.line - b.line,
      ),
      mistakesInAll: this.#mistakesInAll,
      noted: [...this.#noted].sort(
        (a, b) =>
          Number(b.cameBack) - Number(a.cameBack) || order[a.ending] - order[b.ending] || a.line - b.line,
      ),
      notedInAll: this.#notedInAll,
    }
  }

  #faultCounts(): FaultCount[] {
    return this.#track.graph.faults.map(({ name, label }, i) => ({ name, label, ...this.#faults[i]! }))
  }

  #testCounts(): TestCount[] {
    const { graph, edges, from } = this.#track
    const used = graph.tests.map(({ name }) => ({ name, used: 0, putBack: 0 }))
    edges.forEach((_, edge) => {
      const node = graph.nodes[from[edge]!]!
      if (node.do === "test") used[node.test]![node.putBack ? "putBack" : "used"] += this.#taken[edge]!
    })
    return used
  }

  #ruleCounts(): RuleCount[] {
    return this.#track.graph.rules.map((rule, i) => ({ ...rule, rule: i, used: this.#rules[i]! }))
  }

  #branches(): Report["branches"] {
    const { graph, edges, from, reach } = this.#track
    const idle: Branch[] = []
    let taken = 0
    let chance = 0
    edges.forEach((edge, number) => {
      const node = graph.nodes[from[number]!]!
      if (node.do !== "test") return
      if (this.#taken[number]! > 0) {
        taken++
        return
      }
      const likely = reach[from[number]!]! * edge.chance
      chance = Math.max(chance, likely)
      idle.push({
        node: from[number]!,
        ...stepText(graph, node.test, node.putBack === true, edge.cells),
        chance: likely,
      })
    })
    idle.sort((a, b) => b.chance - a.chance || a.node - b.node)
    return { taken, of: edges.length, idle: idle.slice(0, mostBranches), idleInAll: idle.length }
  }
}
