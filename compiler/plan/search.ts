import type { Bounds } from "./bound.ts"
import type { Greedy } from "./greedy.ts"
import type { Means } from "./means.ts"
import {
  type Branch,
  type Choice,
  furthestApart,
  isSolved,
  type Node,
  type Open,
  reached,
  refreshLower,
  refreshUpper,
  take,
} from "./node.ts"
import { Queue } from "./queue.ts"
import type { RepairSequence } from "./repair-sequence.ts"
import type { State } from "./state.ts"
import { BYTES_OF_OPEN, Table } from "./table.ts"
import type { Dynamics } from "./transition.ts"

/**
 * How many alternatives of a state have been tried with the base policy when it was passed so often: progressive
 * widening (Coulom 2007), so that no state hogs the effort and none stays narrow where many jobs pass.
 */
function wide(visits: number): number {
  return 3 + Math.floor(visits / 4)
}

/** Of the trials so many prove at least, the others improve; the nearer the proof the more. */
const PROVING = 0.25

/** An alternative is followed down to one in so many of the jobs that come to it. */
const ROLLOUT_BRANCHES = 25

/** The same for the first plan, for each fault of the ruleset: every fault has a branch of its own at least. */
const FIRST_BRANCHES = 100
const FIRST_BRANCHES_PER_FAULT = 25

/**
 * Where the base policy isn't followed any more, the repair sequence is worked out down to one in so many of the jobs; to
 * fewer where a sequence goes through many hypotheses: so many of both together, about.
 */
const SEQUENCED = 30
const SEQUENCED_LEAST = 4
const SEQUENCED_HYPOTHESES = 24_000

/** How many alternatives are tried where the search saw no need to try any. */
const COMPARED = 3

/**
 * States that one deepening follows at most: so many; or one in so many hypotheses of the start, since what is left over
 * each time ends in a sequence, which is the dearer the more of them there are; or this part of all so far, since each
 * walks the whole plan.
 */
const DEEPEN_AT_ONCE = 40
const DEEPEN_HYPOTHESES = 10
const DEEPEN_PART = 1 / 16

/** The best plan is followed further whenever the effort has grown by so much. */
const DEEPEN_EVERY = 1.3

/** States for each hypothesis of the start after which its thorough bound is asked for: a plan comes first. */
const BOUNDED_AFTER = 1.5

interface Arrival {
  readonly node: Node
  readonly reach: number
}

/**
 * Anytime AND/OR search with an upper and a lower bound in every state (in the family of AO*, Nilsson 1980, and of
 * bounded real-time dynamic programming, McMahan, Likhachev and Gordon 2005). A trial walks down from the start to
 * where the two bounds lie furthest apart, weighted by the chance to come there; it expands that state and backs both
 * bounds up. Trials take turns: one follows the steps with the least lower bound, which proves; the others those of
 * the best plan so far, which improves it: there each alternative is tried with the base policy behind it (rollout,
 * Bertsekas, Tsitsiklis and Wu 1997).
 */
export class Search {
  readonly root: Node
  readonly table: Table
  /** States looked into so far; the measure of effort. */
  expanded = 0
  readonly dynamics: Dynamics
  readonly #handover: number
  readonly #bounds: Bounds
  readonly #greedy: Greedy
  readonly sequences: RepairSequence
  readonly #branchesAtFirst: number
  readonly #atOnce: number
  readonly #sequenced: number
  readonly #room: number
  #lowerAtFirst: number | undefined
  #proofDue = 0
  #deepenAt = 0
  #level: number | undefined = undefined

  /** `room`: bytes that all that is kept may take before following ends. */
  constructor({ dynamics, bounds, greedy, sequences }: Means, start: State, room = Number.POSITIVE_INFINITY) {
    const { model, handover } = dynamics.problem
    this.#room = room
    this.#handover = handover
    this.table = new Table()
    this.dynamics = dynamics
    this.#bounds = bounds
    this.#greedy = greedy
    this.sequences = sequences
    this.#branchesAtFirst = Math.max(FIRST_BRANCHES, FIRST_BRANCHES_PER_FAULT * model.faults.length)
    this.#atOnce = Math.max(DEEPEN_AT_ONCE, Math.floor(start.ids.length / DEEPEN_HYPOTHESES))
    const sequenced = Math.max(SEQUENCED_LEAST, SEQUENCED_HYPOTHESES / start.ids.length)
    this.#sequenced = 1 / Math.min(SEQUENCED, sequenced)
    this.root = this.#intern(start)
  }

  /** Memory of the process that what is kept takes, about: states, memories of hypotheses, and jobs. */
  get bytes(): number {
    return this.table.bytes + this.dynamics.memories.bytes + this.dynamics.jobs.bytes
  }

  /** One trial from the start, after the first plan; false when the best plan is proved. */
  trial(): boolean {
    if (isSolved(this.root)) return false
    if (this.expanded >= BOUNDED_AFTER * this.root.state.ids.length) this.boundThoroughly()
    if (this.expanded >= this.#deepenAt) {
      // As far as it was to go when it began: the likeliest branches first of all.
      this.#level ??= this.#faint
      if (!this.deepen(this.#level)) return true
      this.#deepenAt = this.expanded * DEEPEN_EVERY
      this.#level = undefined
      return true
    }
    this.#proofDue += Math.max(PROVING, Math.sqrt(this.root.lower / this.root.upper))
    const improve = this.#proofDue < 1
    if (!improve) this.#proofDue--
    const path: Node[] = []
    let node = this.root
    let reach = 1
    for (;;) {
      path.push(node)
      node.visits++
      const isNew = !node.open
      this.#expand(node)
      this.#adopt(node)
      // What only improves would fill the memory with plans that no proof asks for.
      if ((improve && this.#widen(node, reach)) || isNew) break
      const next = (improve && node.chosen && furthestApart(node.chosen)) || this.#prove(node)
      if (!next) break
      next.visits++
      node = next.node
      reach *= next.chance
    }
    for (let i = path.length - 1; i >= 0; i--) this.#backUp(path[i]!)
    return true
  }

  /** What every plan costs at least, by the bounds of the start alone. */
  get lowerAtFirst(): number {
    this.#lowerAtFirst ??= this.#bounds.thorough(this.root.state)
    return this.#lowerAtFirst
  }

  /** Once there is a good plan: who only asks for that need not wait for a bound. */
  boundThoroughly(): void {
    this.root.lower = Math.min(this.root.upper, Math.max(this.root.lower, this.lowerAtFirst))
  }

  /**
   * Follows the best plan so far on, likeliest states first, down to one in so many jobs, a few states at a time; false
   * where some are left. How many is always the same, so that the plan doesn't depend on how its host cuts up the work.
   * What a repair sequence ends already counts as `planned` times as likely.
   */
  deepen(faint: number, most = Number.POSITIVE_INFINITY, planned = 1): boolean {
    const atOnce = Math.max(this.#atOnce, Math.floor(this.expanded * DEEPEN_PART))
    const { order, reach } = reached(this.root)
    const ends = order.filter((node) => !node.followed).map((node) => ({ node, reach: reach.get(node)! }))
    const isDone = this.#follow(ends, faint, this.expanded + Math.min(most, atOnce), planned)
    // In the order of what has come to be reached: what was followed may lead back to states that were there before.
    const now = reached(this.root).order
    for (let i = now.length - 1; i >= 0; i--) this.#reconsider(now[i]!)
    return isDone
  }

  /** Branches with less chance than this are not followed yet; it sinks as effort goes on. */
  get #faint(): number {
    return 1 / (this.#branchesAtFirst + this.expanded)
  }

  /** Where a trial goes on behind the step of the least lower bound, all such bounds being worked out that could matter. */
  #prove(node: Node): Branch | undefined {
    for (;;) {
      const least = this.#least(node)
      let next: Open | undefined
      for (const each of node.open!) if (!next || each.lower < next.lower) next = each
      const limit = Math.min(this.#handover, least?.lower ?? Number.POSITIVE_INFINITY)
      if (!next || next.lower >= limit)
        return least && least.lower < this.#handover ? furthestApart(least) : undefined
      this.#lookInto(node, next)
    }
  }

  /**
   * The step of the least lower bound. Bounds only rise, so one that has not since it was the least still is; the others
   * are worked out when they come to be the least.
   */
  #least(node: Node): Choice | undefined {
    for (;;) {
      let least: Choice | undefined
      for (const choice of node.choices) if (!least || choice.lower < least.lower) least = choice
      if (!least) return undefined
      const before = least.lower
      refreshLower(least)
      this.#renew(node, least)
      if (least.lower <= before) return least
    }
  }

  #intern(state: State): Node {
    return this.table.intern(state, (each) => this.#bounds.of(each), this.#handover)
  }

  /** Makes nodes of what a step leads to; `lower`: what is known to bound the step. */
  #branchesOf(node: Node, step: number, lower: number): Choice {
    const { outcomes, cost } = this.dynamics.after(node.state, step)
    const branches: Branch[] = []
    for (const { chance, state } of outcomes)
      if (state !== undefined) branches.push({ chance, visits: 0, node: this.#intern(state) })
    const choice: Choice = {
      step,
      cost: outcomes.length > 0 ? cost : Number.POSITIVE_INFINITY,
      lower,
      upper: Number.POSITIVE_INFINITY,
      branches,
    }
    refreshUpper(choice)
    return choice
  }

  #lookInto(node: Node, next: Open): Choice {
    node.open!.splice(node.open!.indexOf(next), 1)
    const choice = this.#branchesOf(node, next.step, next.lower)
    node.choices.push(choice)
    take(node, choice)
    return choice
  }

  /** Looks into an action with the base policy behind it. */
  #tryOut(node: Node, next: Open, reach: number): void {
    const choice = this.#lookInto(node, next)
    this.#followBehind(choice, reach, Math.max(this.#faint, reach / ROLLOUT_BRANCHES))
    take(node, choice)
  }

  #followBehind(choice: Choice, reach: number, faint: number): void {
    this.#follow(
      choice.branches.map((branch) => ({ node: branch.node, reach: reach * branch.chance })),
      faint,
      Number.POSITIVE_INFINITY,
    )
    refreshUpper(choice)
  }

  /** Works out anew what a choice costs at most, and makes it the best where it is now. */
  #renew(node: Node, choice: Choice): void {
    refreshUpper(choice)
    take(node, choice)
  }

  /**
   * Both bounds of a state from those of its actions; the lower never falls, the upper never rises. Only the action of
   * the least lower bound and the best one are worked out anew; any other is when it comes to be one of them.
   */
  #backUp(node: Node): void {
    const least = this.#least(node)
    if (node.chosen && node.chosen !== least) this.#renew(node, node.chosen)
    let lower = Math.min(this.#handover, least?.lower ?? Number.POSITIVE_INFINITY)
    for (const each of node.open!) lower = Math.min(lower, each.lower)
    node.lower = Math.min(Math.max(node.lower, lower), node.upper)
  }

  /** Lists every step of a state, the most promising first. */
  #expand(node: Node): void {
    if (node.open) return
    this.expanded++
    const bounds = this.#bounds.byFirst(node.state)
    node.open = this.#greedy
      .prospects(node.state)
      .map(({ step }) => ({ step, lower: bounds(step) }))
      .filter(({ step }) => step !== node.base?.step)
    this.table.bytes += BYTES_OF_OPEN * node.open.length
    if (node.base) {
      node.base.lower = Math.max(node.base.lower, bounds(node.base.step))
      node.choices.push(node.base)
    }
  }

  /** Tries the next alternatives of a state that is passed often enough; whether there were any. */
  #widen(node: Node, reach: number): boolean {
    const from = node.tried
    if (from === 0 && node.base && wide(node.visits) > 0) {
      node.tried++
      if (node.base !== node.chosen) this.#followBehind(node.base, reach, this.#faint)
      take(node, node.base)
    }
    while (node.tried < wide(node.visits) && node.open!.length > 0) {
      const next = node.open!.find(({ lower }) => lower < node.upper)
      if (next === undefined) break
      node.tried++
      this.#tryOut(node, next, reach)
    }
    return node.tried > from
  }

  /** Makes sure that something else than the chosen action has been tried at a state, so that the two can be compared. */
  compare(node: Node, reach: number): void {
    this.#expand(node)
    if (node.choices.some(({ step }) => step !== node.chosen?.step)) return
    for (const next of node.open!.slice(0, COMPARED)) this.#tryOut(node, next, reach)
  }

  /**
   * Follows the base policy from these states, likeliest first, so that `upper` is the cost of a plan and not only of
   * stopping. Branches that a job hardly ever takes are left alone: a noisy model has a great many of them, and they
   * weigh nothing. False where `until` came before all were followed.
   */
  #follow(from: readonly Arrival[], faint: number, until: number, planned = 1): boolean {
    const queue = new Queue<Arrival>()
    const push = (arrival: Arrival) => {
      const { node, reach } = arrival
      if (node.followed) return
      const isPlanned = node.sequence !== undefined && node.upper < this.#handover
      if (reach >= faint) queue.push(isPlanned ? reach * planned : reach, arrival)
      else if (reach >= faint * this.#sequenced) this.#sequence(node)
    }
    from.forEach(push)
    const followed = new Set<Node>()
    for (
      let next = queue.pop();
      next && this.expanded < until && this.bytes < this.#room;
      next = queue.pop()
    ) {
      const { node, reach } = next
      if (node.followed) continue
      node.followed = true
      followed.add(node)
      this.expanded++
      const step = this.#greedy.best(node.state)
      if (step === undefined) {
        // What it gives up, by an estimate that reads nothing, may still be worth repairing.
        this.#sequence(node)
        continue
      }
      node.base = this.#branchesOf(node, step, 0)
      for (const branch of node.base.branches) push({ node: branch.node, reach: reach * branch.chance })
    }
    const isDone = queue.top === Number.NEGATIVE_INFINITY
    // What there was no effort for ends in a repair sequence as well: that is a plan, and handing over hardly one.
    for (let next = queue.pop(); next; next = queue.pop()) this.#sequence(next.node)
    // Children first, each once.
    const settle = (node: Node): void => {
      if (!followed.delete(node)) return
      for (const branch of node.base?.branches ?? []) settle(branch.node)
      this.#reconsider(node)
    }
    for (const node of [...followed]) settle(node)
    return isDone
  }

  /** Works out what the repair sequence costs from a state on. */
  #sequence(node: Node): void {
    // The bound of a state that is only followed isn't asked for.
    if (node.sequence !== undefined || (node.open && isSolved(node))) return
    this.expanded++
    node.sequence = this.sequences.figures(node.state)
    if (node.sequence.total >= node.upper) return
    node.upper = node.sequence.total
    node.chosen = undefined
  }

  /** Makes the first step of the repair sequence, where that is the best plan so far, a choice that can be improved on. */
  #adopt(node: Node): void {
    if (node.sequence === undefined || node.chosen || node.upper >= this.#handover) return
    const step = this.sequences.firstOf(node.state)
    const next = node.open!.find((each) => each.step === step)
    const choice = next ? this.#lookInto(node, next) : node.choices.find((each) => each.step === step)
    if (!choice) return
    for (const branch of choice.branches) this.#sequence(branch.node)
    this.#renew(node, choice)
  }

  #reconsider(node: Node): void {
    for (const choice of [node.base, node.chosen]) {
      if (choice) this.#renew(node, choice)
    }
  }
}
