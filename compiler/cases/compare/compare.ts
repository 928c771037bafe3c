/** Two rulesets, or two versions of one, on the same cases: what changed, and whether that is more than chance. */
import type { Graph } from "../../run/graph.ts"
import type { Case } from "../record/case.ts"
import { blames } from "../replay/blame.ts"
import { type GraphIndex, indexGraph } from "../replay/graph-index.ts"
import { type Ending, lossOf } from "../replay/judge.ts"
import { type Walk, walk } from "../replay/walk.ts"
import { keep } from "../report/counts.ts"
import { remedyText, type Words, words } from "../report/labels.ts"
import type { Mistake } from "../report/report.ts"
import { mcnemar } from "../stats/mcnemar.ts"
import { type Paired, PairedMeans } from "../stats/paired-means.ts"
import { type Share, wilson } from "../stats/wilson.ts"

/** Beyond chance: what would come by itself in fewer than one comparison out of twenty. */
export const level = 0.05

export interface Comparison {
  readonly old: Named
  readonly fresh: Named
  readonly money: string
  readonly cases: number
  /** Nobody confirmed a fault: nothing to judge by. */
  readonly unconfirmed: number
  /** Cases that came to an end under both, over which all else is counted. */
  readonly compared: number
  /** Cases in which one of them asks for what the record does not have. */
  readonly open: { readonly old: number; readonly fresh: number; readonly either: number }
  /** Ended well: the right remedy, or handed over where the fault is not listed. */
  readonly right: Change
  /** Verdicts whose remedy does not mend. */
  readonly wrong: Change
  /** `walked`: the new one's; `recorded`: the old one's. Per compared case; money at the new one's rates. */
  readonly minutes: Paired | undefined
  readonly work: Paired | undefined
  /** Work and what mistakes cost. */
  readonly total: Paired | undefined
  readonly judgement: Judgement
  /** Cases that end otherwise: lost, gained, other; in each those that came back first; at most 1,000 of each. */
  readonly changed: readonly ChangedCase[]
  readonly changedInAll: number
}

export interface Named {
  readonly name: string
  readonly version: string
  readonly source: string
}

/** Of the compared cases. `gained` and `lost`: only under the new one, only under the old one. */
export interface Change {
  readonly old: Share
  readonly fresh: Share
  readonly gained: number
  readonly lost: number
  /** Exact McNemar test, two-sided. */
  readonly p: number
}

/**
 * `worse`: beyond chance, fewer cases end well, or more verdicts are wrong, or a case costs more. `better`: beyond chance
 * on one of the three and worse on none. Chances: McNemar's test at 5 %; money: the 95 % interval of the mean difference
 * lies on one side of zero.
 */
export interface Judgement {
  readonly is: "worse" | "better" | "even"
  readonly worse: readonly Ground[]
  readonly better: readonly Ground[]
}

export type Ground = "right" | "wrong" | "total"

export interface ChangedCase {
  readonly id: string
  readonly line: number
  readonly cameBack: boolean
  readonly fault: string
  /** From well to not, from not to well, or to another end of the same worth. */
  readonly turn: "lost" | "gained" | "other"
  readonly old: string
  readonly fresh: string
  /** What rules out the confirmed fault under the new one and did not under the old. */
  readonly causes: readonly Mistake[]
}

interface Pair {
  gained: number
  lost: number
  both: number
}

interface Side {
  readonly index: GraphIndex
  readonly words: Words
}

export class Contest {
  readonly #old: Side
  readonly #fresh: Side
  #cases = 0
  #unconfirmed = 0
  #compared = 0
  readonly #open = { old: 0, fresh: 0, either: 0 }
  readonly #right: Pair = { gained: 0, lost: 0, both: 0 }
  readonly #wrong: Pair = { gained: 0, lost: 0, both: 0 }
  readonly #minutes = new PairedMeans()
  readonly #work = new PairedMeans()
  readonly #total = new PairedMeans()
  readonly #changed: Readonly<Record<ChangedCase["turn"], ChangedCase[]>> = {
    lost: [],
    gained: [],
    other: [],
  }
  #changedInAll = 0

  /** @throws RunError where one is not a graph that the runner can run. */
  constructor(old: unknown, fresh: unknown) {
    const index = indexGraph(fresh)
    const before = indexGraph(old)
    this.#fresh = { index: index, words: words(index.graph) }
    const priced = { ...before, graph: atRatesOf(before.graph, index.graph) }
    this.#old = { index: priced, words: words(priced.graph) }
  }

  /** The graphs to read the cases for. */
  get graphs(): { readonly old: Graph; readonly fresh: Graph } {
    return { old: this.#old.index.graph, fresh: this.#fresh.index.graph }
  }

  /** One case as read for each of the two. */
  add(old: Case, fresh: Case): void {
    this.#cases++
    if (old.truth.known === "no" || fresh.truth.known === "no") {
      this.#unconfirmed++
      return
    }
    const a = walk(this.#old.index, old)
    const b = walk(this.#fresh.index, fresh)
    const [openOld, openFresh] = [a.ending.kind === "open", b.ending.kind === "open"]
    if (openOld) this.#open.old++
    if (openFresh) this.#open.fresh++
    if (openOld || openFresh) {
      this.#open.either++
      return
    }
    this.#compared++
    const right = [well(old, a.ending), well(fresh, b.ending)] as const
    count(this.#right, ...right)
    count(this.#wrong, wrong(a.ending), wrong(b.ending))
    this.#minutes.add(b.minutes, a.minutes)
    this.#work.add(b.work, a.work)
    const { old: graph, fresh: freshGraph } = this.graphs
    this.#total.add(b.work + lossOf(freshGraph, b.ending), a.work + lossOf(graph, a.ending))
    if (right[0] !== right[1] || !alike(this.graphs, a.ending, b.ending)) this.#note(old, fresh, a, b, right)
  }

  #note(old: Case, fresh: Case, a: Walk, b: Walk, [before, after]: readonly [boolean, boolean]): void {
    this.#changedInAll++
    const turn = before === after ? "other" : after ? "gained" : "lost"
    const was = this.#old.words.noted(old, a.ending, undefined)
    const is = this.#fresh.words.noted(fresh, b.ending, undefined)
    keep(this.#changed[turn], {
      id: fresh.id,
      line: fresh.line,
      cameBack: fresh.cameBack,
      fault: is.fault || was.fault,
      turn,
      old: was.says,
      fresh: is.says,
      causes: turn === "lost" ? this.#causes(old, fresh) : [],
    })
  }

  #causes(old: Case, fresh: Case): Mistake[] {
    const mistakes = ({ index, words }: Side, record: Case) => {
      const { truth } = record
      return truth.known === "listed"
        ? blames(index.graph, record).map((each) => words.mistake(record, truth.fault, each, true))
        : []
    }
    // A rule moves when lines are added above it: what it found and why tell it, not its line.
    const key = ({ cause, name, because, found }: Mistake) => JSON.stringify([cause, name, because, found])
    const known = new Set(mistakes(this.#old, old).map(key))
    return mistakes(this.#fresh, fresh).filter((each) => !known.has(key(each)))
  }

  result(): Comparison {
    const { old, fresh } = this.graphs
    const right = this.#change(this.#right)
    const wrong = this.#change(this.#wrong)
    const total = this.#total.result()
    return {
      old: named(old),
      fresh: named(fresh),
      money: fresh.money,
      cases: this.#cases,
      unconfirmed: this.#unconfirmed,
      compared: this.#compared,
      open: { ...this.#open },
      right,
      wrong,
      minutes: this.#minutes.result(),
      work: this.#work.result(),
      total,
      judgement: judgementOf(right, wrong, total),
      changed: [this.#changed.lost, this.#changed.gained, this.#changed.other].flatMap((list) =>
        list.toSorted((x, y) => Number(y.cameBack) - Number(x.cameBack) || x.line - y.line),
      ),
      changedInAll: this.#changedInAll,
    }
  }

  #change({ gained, lost, both }: Pair): Change {
    return {
      old: wilson(both + lost, this.#compared),
      fresh: wilson(both + gained, this.#compared),
      gained,
      lost,
      p: mcnemar(gained, lost),
    }
  }
}

function judgementOf(right: Change, wrong: Change, total: Paired | undefined): Judgement {
  const worse: Ground[] = []
  const better: Ground[] = []
  const side = (ground: Ground, change: number, sure: boolean) => {
    if (sure) (change < 0 ? worse : better).push(ground)
  }
  side("right", right.gained - right.lost, right.p < level)
  side("wrong", wrong.lost - wrong.gained, wrong.p < level)
  if (total && total.cases > 1) side("total", -total.difference, total.low > 0 || total.high < 0)
  return { is: worse.length > 0 ? "worse" : better.length > 0 ? "better" : "even", worse, better }
}

/** The right remedy, or handed over where no listed fault is the matter. */
function well(record: Case, ending: Ending): boolean {
  if (ending.kind === "handover") return record.truth.known === "unlisted"
  return ending.kind === "verdict" && ending.mends
}

const wrong = (ending: Ending) => ending.kind === "verdict" && !ending.mends

function count(pair: Pair, old: boolean, fresh: boolean): void {
  if (old && fresh) pair.both++
  else if (fresh) pair.gained++
  else if (old) pair.lost++
}

function alike(graphs: { old: Graph; fresh: Graph }, a: Ending, b: Ending): boolean {
  if (a.kind !== "verdict" || b.kind !== "verdict") return a.kind === b.kind
  return remedyText(graphs.old, a.remedy) === remedyText(graphs.fresh, b.remedy)
}

function named({ ruleset: { name, version, source } }: Graph): Named {
  return { name, version, source }
}

/** The old graph with the money of the new one, so that a new bench rate is not taken for a worse order of tests. */
function atRatesOf(graph: Graph, { bench, comeback, handover }: Graph): Graph {
  const tests = graph.tests.map((test) => ({
    ...test,
    cost: test.cost + (test.minutes * (bench - graph.bench)) / 60,
  }))
  return { ...graph, bench, comeback, handover, tests }
}
