import type { Model } from "../../../compiler/model/model.ts"
import { type RuleIndex, tableOf } from "../../../compiler/run/indexes.ts"
import type { Policy, PolicyNode } from "../policies.ts"
import { actions } from "./actions.ts"
import { type Action, activeChance, canonical, type State, start, sum } from "./beliefs.ts"
import { atBench, charge, lookMinutes, money } from "./costs.ts"
import { type Outcome, outcomes } from "./outcomes.ts"

/**
 * The least expected total over all plans, every action tried in every state. Nothing is skipped but what is paid for
 * already when it costs as much as the best found so far, which handing over starts. States with the same future are worked out once.
 */
export function best(model: Model, from: State = start(model), most = MOST): number {
  return new Search(model, most).value(from, Number.POSITIVE_INFINITY)
}

/** The best plan, with one node for each state, and what it costs. */
export function bestPlan(model: Model, most = MOST): { readonly total: number; readonly plan: Policy } {
  const search = new Search(model, most)
  const total = search.value(start(model), Number.POSITIVE_INFINITY)
  const nodes: PolicyNode[] = []
  const added = new Map<string, number>()
  const textOf = canonical(model)
  const add = (state: State): number => {
    const key = textOf(state)
    const before = added.get(key)
    if (before !== undefined) return before
    const index = nodes.length
    added.set(key, index)
    nodes.push({ do: "handover" })
    const { action } = search.choose(state)
    if (action.do === "handover") return index
    const edges = outcomes(model, state, action).map((each) => ({
      on: each.on,
      chance: each.chance,
      leaveIn: each.on === "stays" && action.leaveIn === true,
      ...(each.on === "holds" ? {} : { to: add(each.state) }),
    }))
    nodes[index] = { ...action, edges }
    return index
  }
  return { total, plan: { start: add(start(model)), nodes } }
}

/** States after which the search gives up, where nothing is said. */
const MOST = 400_000

/** What the same jobs would cost somebody who knows each state from the start. */
export function unavoidable(model: Model, most = MOST): number {
  const bare = {
    ...model,
    rules: tableOf<RuleIndex, never>([]),
    nevers: [],
    ruleset: { ...model.ruleset, trust: 0 },
  }
  return sum(start(model).hypotheses.map(({ weight }, i) => weight * best(bare, start(bare, i), most)))
}

/** Thrown when there are more states than the caller has patience for. */
export class TooLarge extends Error {
  override name = "TooLarge"
}

interface Known {
  /** The least total where that is known exactly, else something that it is not below. */
  readonly value: number
  readonly exact: boolean
}

class Search {
  readonly #model: Model
  readonly #most: number
  readonly #textOf: (state: State) => string
  readonly #found = new Map<string, Known>()

  constructor(model: Model, most: number) {
    this.#model = model
    this.#most = most
    this.#textOf = canonical(model)
  }

  /** The least total from here if it is below the limit, else infinity. */
  value(state: State, limit: number): number {
    const key = this.#textOf(state)
    const before = this.#found.get(key)
    if (before?.exact && before.value < limit) return before.value
    if (before && before.value >= limit) return Number.POSITIVE_INFINITY
    const { least } = this.#tryAll(state, limit)
    const exact = least < limit
    this.#found.set(key, { value: exact ? least : limit, exact })
    if (this.#found.size > this.#most) throw new TooLarge()
    return exact ? least : Number.POSITIVE_INFINITY
  }

  choose(state: State): { action: Action; least: number } {
    return this.#tryAll(state, Number.POSITIVE_INFINITY)
  }

  #tryAll(state: State, limit: number): { action: Action; least: number } {
    let action: Action = { do: "handover" }
    let least = this.#model.ruleset.handover
    const open = this.#ways(state)
      .map((each) => ({ way: each, cost: money(charge(this.#model, state, each)) }))
      .sort((a, b) => a.cost - b.cost)
    for (const { way, cost } of open) {
      const bound = Math.min(least, limit)
      if (cost >= bound) break
      const total = this.#total(state, way, cost, bound)
      if (total < least) {
        least = total
        action = way
      }
    }
    return { action, least }
  }

  /** A swap is done with either of the two things in mind that can be done after `stays`. */
  #ways(state: State): Action[] {
    return actions(this.#model, state).flatMap((each): Action[] => {
      if (each.do === "handover") return []
      const swaps = each.do === "test" && this.#model.tests[each.test]!.kind === "swaps"
      return swaps ? [each, { ...each, leaveIn: true }] : [each]
    })
  }

  #total(state: State, action: Action, cost: number, bound: number): number {
    const found = outcomes(this.#model, state, action)
    if (found.length === 0) return Number.POSITIVE_INFINITY
    let total = cost + sum(found.map((each) => each.chance * this.#atOnce(each)))
    for (const each of [...found].sort((a, b) => b.chance - a.chance)) {
      if (total >= bound) return total
      if (each.on === "holds") continue
      total += each.chance * this.value(each.state, (bound - total) / each.chance)
    }
    return total
  }

  /** The tries of the look, or the machine that comes back. */
  #atOnce({ on, tries, state }: Outcome): number {
    const look = atBench(this.#model, lookMinutes(this.#model, tries))
    if (on !== "holds") return look
    return this.#model.ruleset.comeback * activeChance(this.#model, state)
  }
}
