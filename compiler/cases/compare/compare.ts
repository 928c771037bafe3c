/** Two rulesets, or two versions of one, on the same cases: what changed, and whether that is more than chance. */

import type { Graph } from "../../run/graph.ts"
import { at } from "../../run/lookup.ts"
import type { Case } from "../record/case.ts"
import { Blamer } from "../replay/blame.ts"
import type { Ends } from "../replay/ends.ts"
import { type GraphIndex, indexGraph } from "../replay/graph-index.ts"
import { type Ending, endsOf, isRight, lossOf } from "../replay/judge.ts"
import { expectedSpending } from "../replay/trail.ts"
import { type Walk, Walker } from "../replay/walk.ts"
import { addBounded } from "../report/counts.ts"
import { Labels } from "../report/labels.ts"
import type { Mistake } from "../report/report.ts"
import { mcnemar } from "../stats/mcnemar.ts"
import { type Paired, PairedMeans } from "../stats/paired-means.ts"
import { type Share, wilson } from "../stats/wilson.ts"

/** Beyond chance: what would come by itself in fewer than one comparison out of twenty. */
export const SIGNIFICANCE_LEVEL = 0.05

export interface Comparison {
  readonly old: Named
  readonly fresh: Named
  readonly money: string
  readonly cases: number
  /** Nobody confirmed a fault: nothing to judge by. */
  readonly unconfirmed: number
  /** Cases with a confirmed fault: all figures below are over these. */
  readonly compared: number
  /** Those in which one of them asks for what the record does not have: they are carried on by its chances. */
  readonly open: { readonly old: number; readonly fresh: number; readonly either: number }
  /**
   * Of those the part that isn't followed to an end, in cases: it counts as not ended well, and costs in all (`total`) what
   * the graph expects from there on.
   */
  readonly notFollowed: { readonly old: number; readonly fresh: number }
  /** Ended well, that is fixed and closed, or handed over where what was wrong is not listed. */
  readonly right: Change
  /** Closed with a fault still in the machine. */
  readonly comesBack: Change
  /** Bought a part in vain. */
  readonly inVain: Change
  /** `walked`: the new one's; `recorded`: the old one's. Per case; money at the new one's rates. */
  readonly minutes: Paired | undefined
  readonly spent: Paired | undefined
  /** Money with comebacks and handing over. */
  readonly total: Paired | undefined
  readonly judgement: Judgement
  /**
   * Cases that end under both by what is recorded, and otherwise: lost, gained, other; in each those that came back first;
   * at most 1,000 of each.
   */
  readonly changed: readonly ChangedCase[]
  readonly changedInAll: number
}

export interface Named {
  readonly name: string
  readonly version: string
  readonly source: string
}

/** `gained` and `lost`: only under the new one, only under the old one; of cases that are open, the part that is so. */
export interface Change {
  readonly old: Share
  readonly fresh: Share
  readonly gained: number
  readonly lost: number
  /** Exact McNemar test, two-sided, of the whole cases gained and lost. */
  readonly p: number
}

/**
 * `worse`: beyond chance, fewer cases end well, or more machines come back, or more cases buy a part in vain, or a case
 * costs more. `better`: beyond chance on one of these and worse on none. Chances: McNemar's test at 5 %; money: the 95 % interval of the mean difference
 * lies on one side of zero.
 */
export interface Judgement {
  readonly is: "worse" | "better" | "even"
  readonly worse: readonly Criterion[]
  readonly better: readonly Criterion[]
}

export type Criterion = "right" | "comesBack" | "inVain" | "total"

export interface ChangedCase {
  readonly id: string
  readonly line: number
  readonly cameBack: boolean
  readonly fault: string
  /** From well to not, from not to well, or to another end of the same worth. */
  readonly turn: "lost" | "gained" | "other"
  readonly old: string
  readonly fresh: string
  /** What rules out what was confirmed under the new one and did not under the old. */
  readonly causes: readonly Mistake[]
}

interface Pair {
  gained: number
  lost: number
  both: number
}

/** One of the two rulesets. */
class Side {
  readonly index: GraphIndex
  readonly labels: Labels
  readonly #walker: Walker
  readonly #blamer: Blamer

  constructor(index: GraphIndex) {
    this.index = index
    this.labels = new Labels(index.graph)
    this.#walker = new Walker(index)
    this.#blamer = new Blamer(index.graph, index.trueMachine)
  }

  walk(record: Case): Walk {
    return this.#walker.walk(record)
  }

  mistakes(record: Case): Mistake[] {
    return this.#blamer.blames(record).map((blame) => this.labels.mistake(record, blame, true))
  }

  says(record: Case, walk: Walk): string {
    return this.labels.noted(record, walk).says
  }
}

const EVEN: Judgement = { is: "even", worse: [], better: [] }

/** Nothing to judge by: no case has a confirmed fault, or one of the two follows none of them. */
export function isOfNothing({
  compared,
  notFollowed: { old, fresh },
}: Pick<Comparison, "compared" | "notFollowed">): boolean {
  return Math.max(old, fresh) > compared - 1e-9
}

const none = (): Pair => ({ gained: 0, lost: 0, both: 0 })

export class ComparisonTally {
  readonly #old: Side
  readonly #fresh: Side
  #cases = 0
  #unconfirmed = 0
  readonly #open = { old: 0, fresh: 0, either: 0 }
  readonly #notFollowed = { old: 0, fresh: 0 }
  readonly #right = none()
  readonly #comesBack = none()
  readonly #inVain = none()
  readonly #minutes = new PairedMeans()
  readonly #spent = new PairedMeans()
  readonly #total = new PairedMeans()
  readonly #changed: Readonly<Record<ChangedCase["turn"], ChangedCase[]>> = {
    lost: [],
    gained: [],
    other: [],
  }
  #changedInAll = 0

  /** @throws RunError where one is not a graph that the runner can run. */
  constructor(old: unknown, fresh: unknown) {
    this.#fresh = new Side(indexGraph(fresh))
    const { graph } = indexGraph(old)
    this.#old = new Side(indexGraph(atRatesOf(graph, this.#fresh.index.graph)))
  }

  /** The graphs to read the cases for. */
  get graphs(): { readonly old: Graph; readonly fresh: Graph } {
    return { old: this.#old.index.graph, fresh: this.#fresh.index.graph }
  }

  /** One case as read for each of the two. */
  add(old: Case, fresh: Case): void {
    this.#cases++
    if (old.confirmed.kind === "unknown" || fresh.confirmed.kind === "unknown") {
      this.#unconfirmed++
      return
    }
    const a = this.#old.walk(old)
    const b = this.#fresh.walk(fresh)
    this.#end(old, endsOf(a), endsOf(b))
    this.#spend(a, b)
    const [openOld, openFresh] = [a.ending.kind === "open", b.ending.kind === "open"]
    if (openOld) this.#open.old++
    if (openFresh) this.#open.fresh++
    if (openOld || openFresh) {
      this.#open.either++
      return
    }
    const right = [isRight(a.ending), isRight(b.ending)] as const
    if (right[0] !== right[1] || !this.#isAlike(a, b)) this.#note(old, fresh, a, b, right)
  }

  #end({ confirmed }: Case, old: Ends, fresh: Ends): void {
    const right = ({ fixed, handedOver }: Ends) => fixed + (confirmed.kind === "unlisted" ? handedOver : 0)
    count(this.#right, right(old), right(fresh))
    count(this.#comesBack, old.comesBack, fresh.comesBack)
    this.#notFollowed.old += old.notFollowed
    this.#notFollowed.fresh += fresh.notFollowed
  }

  #spend(old: Walk, fresh: Walk): void {
    const { graphs } = this
    const [before, after] = [expectedSpending(old), expectedSpending(fresh)]
    count(this.#inVain, before.inVain, after.inVain)
    this.#minutes.add(after.minutes, before.minutes)
    this.#spent.add(after.money, before.money)
    this.#total.add(
      after.money + after.toGo + lossOf(graphs.fresh, endsOf(fresh)),
      before.money + before.toGo + lossOf(graphs.old, endsOf(old)),
    )
  }

  /** The same end, and the same parts bought. */
  #isAlike(a: Walk, b: Walk): boolean {
    const { old, fresh } = this.graphs
    const bought = ({ places }: Graph, { spent }: Walk) =>
      spent.bought
        .map((part) => at(places, part).name)
        .sort()
        .join()
    return sameEnd(a.ending, b.ending) && bought(old, a) === bought(fresh, b)
  }

  #note(old: Case, fresh: Case, a: Walk, b: Walk, [before, after]: readonly [boolean, boolean]): void {
    this.#changedInAll++
    const turn = before === after ? "other" : after ? "gained" : "lost"
    addBounded(this.#changed[turn], {
      id: fresh.id,
      line: fresh.line,
      cameBack: fresh.cameBack,
      fault: this.#fresh.labels.confirmed(fresh.confirmed),
      turn,
      old: this.#old.says(old, a),
      fresh: this.#fresh.says(fresh, b),
      causes: turn === "lost" ? this.#causes(old, fresh) : [],
    })
  }

  #causes(old: Case, fresh: Case): Mistake[] {
    // A rule moves when lines are added above it: what it found and why tell it, not its line.
    const key = ({ cause, name, because, found }: Mistake) => JSON.stringify([cause, name, because, found])
    const known = new Set(this.#old.mistakes(old).map(key))
    return this.#fresh.mistakes(fresh).filter((each) => !known.has(key(each)))
  }

  result(): Comparison {
    const { old, fresh } = this.graphs
    const compared = this.#cases - this.#unconfirmed
    const right = changeIn(this.#right, compared)
    const comesBack = changeIn(this.#comesBack, compared)
    const inVain = changeIn(this.#inVain, compared)
    const total = this.#total.result()
    const notFollowed = { ...this.#notFollowed }
    return {
      old: named(old),
      fresh: named(fresh),
      money: fresh.money,
      cases: this.#cases,
      unconfirmed: this.#unconfirmed,
      compared,
      open: { ...this.#open },
      notFollowed,
      right,
      comesBack,
      inVain,
      minutes: this.#minutes.result(),
      spent: this.#spent.result(),
      total,
      judgement: isOfNothing({ compared, notFollowed })
        ? EVEN
        : judgementOf({ right, comesBack, inVain }, total),
      changed: [this.#changed.lost, this.#changed.gained, this.#changed.other].flatMap((list) =>
        list.toSorted((x, y) => Number(y.cameBack) - Number(x.cameBack) || x.line - y.line),
      ),
      changedInAll: this.#changedInAll,
    }
  }
}

function changeIn({ gained, lost, both }: Pair, of: number): Change {
  // What sums of chances lack of a whole case is no reason to count one fewer.
  const whole = (cases: number) => Math.floor(cases + 1e-9)
  return {
    old: wilson(both + lost, of),
    fresh: wilson(both + gained, of),
    gained,
    lost,
    p: mcnemar(whole(gained), whole(lost)),
  }
}

function judgementOf(
  { right, comesBack, inVain }: Readonly<Record<Exclude<Criterion, "total">, Change>>,
  total: Paired | undefined,
): Judgement {
  const worse: Criterion[] = []
  const better: Criterion[] = []
  const side = (ground: Criterion, change: number, isSure: boolean) => {
    if (isSure) (change < 0 ? worse : better).push(ground)
  }
  side("right", right.gained - right.lost, right.p < SIGNIFICANCE_LEVEL)
  side("comesBack", comesBack.lost - comesBack.gained, comesBack.p < SIGNIFICANCE_LEVEL)
  side("inVain", inVain.lost - inVain.gained, inVain.p < SIGNIFICANCE_LEVEL)
  if (total && total.cases > 1) side("total", -total.difference, total.low > 0 || total.high < 0)
  return { is: worse.length > 0 ? "worse" : better.length > 0 ? "better" : "even", worse, better }
}

function sameEnd(a: Ending, b: Ending): boolean {
  if (a.kind === "closed" && b.kind === "closed") return a.fixed === b.fixed
  return a.kind === b.kind
}

/** A case that is so under each of the two with a chance. */
function count(pair: Pair, old: number, fresh: number): void {
  pair.both += Math.min(old, fresh)
  pair.gained += Math.max(0, fresh - old)
  pair.lost += Math.max(0, old - fresh)
}

function named({ ruleset: { name, version, source } }: Graph): Named {
  return { name, version, source }
}

/**
 * The old graph at the rates of the new one, so that a dearer bench is not taken for a worse order of tests. What it expects
 * beyond its plan stays at its own.
 */
function atRatesOf(graph: Graph, { bench, waiting, comeback, handover }: Graph): Graph {
  const dearer = (minutes: number) => (minutes * (bench - graph.bench)) / 60
  const work = <W extends { readonly minutes: number; readonly cost: number }>(each: W | null) =>
    each && { ...each, cost: each.cost + dearer(each.minutes) }
  const tests = graph.tests.map((test) => ({
    ...test,
    cost: test.cost + dearer(test.minutes) + ((test.waits ?? 0) * (waiting - graph.waiting)) / 60,
  }))
  const model = { ...graph.model, replace: graph.model.replace.map(work), fix: graph.model.fix.map(work) }
  return { ...graph, bench, waiting, comeback, handover, tests, model }
}
