import type { Graph, GraphCondition } from "./graph.ts"

/**
 * The weights of all hypotheses after some findings, with what decides how the next finding changes them. Hypotheses
 * whose weight is zero in both flags are left out; weights are in proportion to chances, not normalised.
 */
export interface Belief {
  /** Indexes of the faults that have weight, ascending. */
  readonly faults: readonly number[]
  /** Beside `faults`: the weight that the fault is there and not cured. */
  readonly uncured: readonly number[]
  /** Beside `faults`: the weight that it was there and what was redone has cured it. */
  readonly cured: readonly number[]
  /** All weights together; 0 where no listed fault fits. */
  readonly sum: number
  /** By reading: the cell last found. */
  readonly cells: readonly (number | undefined)[]
  /** By test. */
  readonly used: readonly (true | undefined)[]
  /** The tests whose part is now replaced by a known-good one. */
  readonly fitted: readonly number[]
}

/** Something to do: a test, or putting back the part which that test fitted. */
export interface Action {
  readonly test: number
  readonly putBack?: boolean
}

export type Found = readonly number[] | "gone" | "stays"

/** Why a fault's weight went to zero. */
export type Cause =
  | { readonly rule: number }
  | { readonly never: number }
  | { readonly shows: number }
  | { readonly complaint: "gone" | "stays" }

/** Told of each fault whose weight goes to zero. */
export type Why = (fault: number, cause: Cause) => void

/** The graph's model, with what is looked up often brought together. */
export interface Machine {
  readonly graph: Graph
  /** By reading: by fault, its own distribution, where it has one. */
  readonly own: readonly (readonly (readonly number[])[])[]
  /** By reading: the rules and nevers that mention it. */
  readonly rules: readonly (readonly number[])[]
  readonly nevers: readonly (readonly number[])[]
  /** By reading: the size of all those conditions, a measure of the work that one finding makes. */
  readonly effort: readonly number[]
  /** By rule: the faults it rules out. */
  readonly out: readonly ReadonlySet<number>[]
  /** By test: the chance that a fault in that place is cured. */
  readonly cures: readonly ReadonlyMap<number, number>[]
}

export function machineOf(graph: Graph): Machine {
  const { model, readings } = graph
  const own: number[][][] = readings.map(() => [])
  model.shows.forEach((pairs, fault) => {
    for (const [reading, chances] of pairs) own[reading]![fault] = chances as number[]
  })
  const effort = readings.map(() => 1)
  const mentioning = (conditions: readonly GraphCondition[]): number[][] => {
    const by: number[][] = readings.map(() => [])
    conditions.forEach((condition, index) => {
      const all = new Set<number>()
      const size = measure(condition, all)
      for (const reading of all) {
        by[reading]!.push(index)
        effort[reading]! += size
      }
    })
    return by
  }
  return {
    graph,
    own,
    rules: mentioning(model.rules.map((rule) => rule.when)),
    nevers: mentioning(model.nevers),
    effort,
    out: model.rules.map((rule) => new Set(rule.out)),
    cures: model.tests.map((test) => new Map(test.redoes)),
  }
}

/** Size of a condition; collects the readings it mentions. */
function measure(condition: GraphCondition, readings: Set<number>): number {
  if (condition[0] === "in") {
    readings.add(condition[1])
    return condition[2].length + 1
  }
  let size = 1
  for (const item of condition.slice(1) as GraphCondition[]) size += measure(item, readings)
  return size
}

/** Kleene's three values on partial evidence; undefined is unknown. */
export function holds(condition: GraphCondition, cells: Belief["cells"]): boolean | undefined {
  if (condition[0] === "in") {
    const cell = cells[condition[1]]
    return cell === undefined ? undefined : condition[2].includes(cell)
  }
  if (condition[0] === "not") {
    const value = holds(condition[1], cells)
    return value === undefined ? undefined : !value
  }
  const decides = condition[0] === "or"
  let value: boolean | undefined = !decides
  for (let i = 1; i < condition.length; i++) {
    const item = holds(condition[i] as GraphCondition, cells)
    if (item === decides) return decides
    if (item === undefined) value = undefined
  }
  return value
}

export function start({ graph }: Machine): Belief {
  const none = { cells: [], used: [], fitted: [] }
  return weighed(none, (keep) => {
    graph.faults.forEach((fault, f) => {
      keep(f, fault.odds, 0)
    })
  })
}

type Rest = Pick<Belief, "cells" | "used" | "fitted">

/** A belief from the hypotheses that `fill` keeps; those without weight fall out. */
function weighed(
  rest: Rest,
  fill: (keep: (fault: number, uncured: number, cured: number) => void) => void,
): Belief {
  const faults: number[] = []
  const uncured: number[] = []
  const cured: number[] = []
  let sum = 0
  fill((fault, u, c) => {
    if (u + c > 0) {
      faults.push(fault)
      uncured.push(u)
      cured.push(c)
      sum += u + c
    }
  })
  return { ...rest, faults, uncured, cured, sum }
}

function isFitted({ graph }: Machine, fitted: readonly number[], place: number): boolean {
  return fitted.some((test) => graph.model.tests[test]!.part === place)
}

/** Multiplies in the chance that the reading is found in that cell. Rules are not looked at: `masked` does. */
export function weigh(m: Machine, b: Belief, reading: number, cell: number, why?: Why): Belief {
  const { told } = m.graph.readings[reading]!
  const healthy = m.graph.model.healthy[reading]![cell]!
  const own = m.own[reading]!
  const cells = b.cells.slice()
  cells[reading] = cell
  return weighed({ cells, used: b.used, fitted: b.fitted }, (keep) => {
    b.faults.forEach((fault, i) => {
      const chance = own[fault]?.[cell] ?? healthy
      const active = told || !isFitted(m, b.fitted, m.graph.faults[fault]!.place)
      const u = b.uncured[i]! * (active ? chance : healthy)
      const c = b.cured[i]! * (told ? chance : healthy)
      if (u + c > 0) keep(fault, u, c)
      else why?.(fault, { shows: reading })
    })
  })
}

/** Applies the rules and nevers that mention these readings, as far as they are known to hold. */
export function masked(m: Machine, b: Belief, readings: readonly number[], why?: Why): Belief {
  const { model } = m.graph
  const never = readings.flatMap((r) => m.nevers[r]!).find((n) => holds(model.nevers[n]!, b.cells))
  const rules = readings.flatMap((r) => m.rules[r]!).filter((r) => holds(model.rules[r]!.when, b.cells))
  if (never === undefined && !rules.length) return b
  return weighed(b, (keep) => {
    b.faults.forEach((fault, i) => {
      const rule = rules.find((r) => m.out[r]!.has(fault))
      if (rule !== undefined) why?.(fault, { rule })
      else if (never !== undefined) why?.(fault, { never })
      else keep(fault, b.uncured[i]!, b.cured[i]!)
    })
  })
}

/** Redoes what the action redoes, then looks for the complaint. */
function looked(
  m: Machine,
  b: Belief,
  { test, putBack }: Action,
  found: "gone" | "stays",
  why?: Why,
): Belief {
  const { part, tries = 1 } = m.graph.model.tests[test]!
  const { recurs } = m.graph.model
  const cures = m.cures[test]!
  const now = putBack
    ? b.fitted.filter((t) => t !== test)
    : part === undefined
      ? b.fitted
      : [...b.fitted, test]
  // A swap after which the complaint stays was not the cure: the old part goes back.
  const fitted = found === "stays" && !putBack ? b.fitted : now
  return weighed({ cells: b.cells, used: b.used, fitted }, (keep) => {
    b.faults.forEach((fault, i) => {
      const { place } = m.graph.faults[fault]!
      const cure = cures.get(place) ?? 0
      const missed = isFitted(m, now, place) ? 1 : (1 - recurs[fault]!) ** tries
      const left = b.uncured[i]! * (1 - cure)
      const u = left * (found === "gone" ? missed : 1 - missed)
      const c = found === "gone" ? b.cured[i]! + b.uncured[i]! * cure : 0
      if (u + c > 0) keep(fault, u, c)
      else why?.(fault, { complaint: found })
    })
  })
}

/** Readings that a test obtains, `told` included; undefined where it looks for the complaint. */
export function readsOf({ graph }: Machine, test: number): readonly number[] | undefined {
  const { kind } = graph.tests[test]!
  return kind === "swaps" || kind === "redoes" ? undefined : graph.model.tests[test]!.reads
}

function using(b: Belief, test: number): Belief {
  const used = b.used.slice()
  used[test] = true
  return { ...b, used }
}

/** The belief after an action and what was found: one cell for each reading of the test, or what became of the complaint. */
export function after(m: Machine, b: Belief, action: Action, found: Found, why?: Why): Belief {
  const so = using(b, action.test)
  return found === "gone" || found === "stays"
    ? looked(m, so, action, found, why)
    : noted(m, so, readsOf(m, action.test)!, found, why)
}

/** The belief after these readings were found in these cells, by whatever test. */
export function noted(
  m: Machine,
  b: Belief,
  readings: readonly number[],
  cells: readonly number[],
  why?: Why,
): Belief {
  let so = b
  readings.forEach((reading, i) => {
    so = weigh(m, so, reading, cells[i]!, why)
  })
  return masked(m, so, readings, why)
}

export interface Outcome {
  readonly found: Found
  readonly belief: Belief
}

/** A count of elementary steps that may still be spent, shared by all that a caller asks for: no model takes forever. */
export interface Budget {
  left: number
}

/**
 * All that can come of an action, as far as it has weight, in the order of the cells. What is less likely than `least`
 * of all is left out, and all that is left when the budget is spent.
 */
export function outcomes(m: Machine, b: Belief, action: Action, budget: Budget, least = 0): Outcome[] {
  const used = using(b, action.test)
  const reads = readsOf(m, action.test)
  const all: Outcome[] = []
  const found: number[] = []
  const push = (found: Found, belief: Belief) => {
    if (belief.sum > least * b.sum) all.push({ found, belief })
  }
  const descend = (so: Belief, depth: number) => {
    const reading = reads![depth]
    if (reading === undefined) {
      budget.left -= reads!.reduce((sum, r) => sum + m.effort[r]!, 0)
      push(found.slice(), masked(m, so, reads!))
      return
    }
    const count = m.graph.readings[reading]!.cells.length
    for (let cell = 0; cell < count && budget.left > 0; cell++) {
      budget.left -= so.faults.length + 1
      found[depth] = cell
      const next = weigh(m, so, reading, cell)
      if (next.sum > least * b.sum) descend(next, depth + 1)
    }
  }
  if (reads) descend(used, 0)
  else
    for (const found of ["gone", "stays"] as const) {
      budget.left -= b.faults.length + 1
      push(found, looked(m, used, action, found))
    }
  return all
}

/** What may be done now: tests in their order, then putting back. */
export function actions({ graph }: Machine, b: Belief, unable: ReadonlySet<number>): Action[] {
  const { tests, model } = graph
  const all: Action[] = []
  tests.forEach(({ after }, test) => {
    const { part, onlyIf } = model.tests[test]!
    const free = !b.used[test] && !unable.has(test) && !b.fitted.some((t) => model.tests[t]!.part === part)
    if (free && (!after || after.every((t) => b.used[t])) && (!onlyIf || holds(onlyIf, b.cells)))
      all.push({ test })
  })
  for (const test of b.fitted) if (!unable.has(test)) all.push({ test, putBack: true })
  return all
}
