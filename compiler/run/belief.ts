import type { Graph, GraphCondition, GraphModelTest, GraphTest } from "./graph.ts"

/** The graph, with all that it says of a thing in one place. */
export interface Machine extends Omit<Graph, "tests"> {
  readonly tests: readonly MachineTest[]
  /** By fault: its own distributions, by reading. */
  readonly shows: readonly ReadonlyMap<number, readonly number[]>[]
  /** By reading: what may act once it is known. */
  readonly masks: readonly (readonly Mask[])[]
}

/** `reads` is undefined where the test looks for the complaint. */
export type MachineTest = GraphTest & GraphModelTest & { readonly cures: ReadonlyMap<number, number> }

/** A rule, or a `never`, which is one that rules everything out. */
export interface Mask {
  readonly when: GraphCondition
  readonly out: { has(fault: number): boolean }
  readonly text: string
  /** Length of the condition as text: a measure of the work of looking at it. */
  readonly size: number
}

export function machineOf(graph: Graph): Machine {
  const { model } = graph
  const masks: Mask[][] = graph.readings.map(() => [])
  const mask = (when: GraphCondition, out: Mask["out"], text: string) => {
    // A condition as text is `and,in,3,1,2,in,5,0`.
    const spelt = String(when)
    for (const reading of new Set([...spelt.matchAll(/in,(\d+)/g)].map((match) => Number(match[1]))))
      masks[reading]!.push({ when, out, text, size: spelt.length })
  }
  model.rules.forEach(({ when, out }, r) => {
    const { because, name, line } = graph.rules[r]!
    mask(when, new Set(out), `${because ?? name ?? "rule"} (line ${line})`)
  })
  for (const when of model.nevers) mask(when, { has: () => true }, "findings that cannot be")
  return {
    ...graph,
    tests: model.tests.map((meaning, t) => ({
      ...graph.tests[t]!,
      ...meaning,
      cures: new Map(meaning.redoes),
    })),
    shows: model.shows.map((pairs) => new Map(pairs)),
    masks,
  }
}

/**
 * The weights of all hypotheses after some findings, with what decides how the next finding changes them. Weights are
 * in proportion to chances, not normalised.
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
  /** Tests done. */
  readonly used: ReadonlySet<number>
  /** The parts now replaced by known-good ones, each with the test that fitted it. */
  readonly fitted: ReadonlyMap<number, number>
}

/** Something to do: a test, or putting back the part which that test fitted. */
export interface Action {
  readonly test: number
  readonly putBack?: true | undefined
}

/** One cell for each reading of the test, or what became of the complaint. */
export type Found = readonly number[] | "gone" | "stays"

/** Kleene's three values on partial evidence; undefined is unknown. */
export function holds(condition: GraphCondition, cells: Belief["cells"]): boolean | undefined {
  if (condition[0] === "in") {
    const cell = cells[condition[1]]
    return cell === undefined ? cell : condition[2].includes(cell)
  }
  if (condition[0] === "not") {
    const value = holds(condition[1], cells)
    return value === undefined ? value : !value
  }
  const decides = condition[0] === "or"
  let value: boolean | undefined = !decides
  for (let i = 1; i < condition.length; i++) {
    const item = holds(condition[i] as GraphCondition, cells)
    if (item === decides) return item
    if (item === undefined) value = item
  }
  return value
}

export function start(m: Machine): Belief {
  const faults = [...m.faults.keys()]
  const sum = m.faults.reduce((so, fault) => so + fault.odds, 0) || 1
  const odds = m.faults.map((fault) => fault.odds / sum)
  const nothing = { cells: [], used: new Set<number>(), fitted: new Map() }
  return reweighed({ faults, uncured: odds, cured: odds, sum: 0, ...nothing }, (_, odds) => [odds, 0])
}

/** The belief with other weights; hypotheses that are left without any fall out. */
function reweighed(
  b: Belief,
  weights: (fault: number, uncured: number, cured: number) => readonly [number, number],
  cells = b.cells,
  fitted = b.fitted,
): Belief {
  const faults: number[] = []
  const uncured: number[] = []
  const cured: number[] = []
  let sum = 0
  for (let i = 0; i < b.faults.length; i++) {
    const [u, c] = weights(b.faults[i]!, b.uncured[i]!, b.cured[i]!)
    if (u + c > 0) {
      faults.push(b.faults[i]!)
      uncured.push(u)
      cured.push(c)
      sum += u + c
    }
  }
  return { faults, uncured, cured, sum, cells, used: b.used, fitted }
}

/** Multiplies in the chance that the reading is found in that cell. Rules are not looked at: `masked` does. */
function weigh(m: Machine, b: Belief, reading: number, cell: number): Belief {
  const { told } = m.readings[reading]!
  const usual = m.model.healthy[reading]![cell]!
  const cells = b.cells.slice()
  cells[reading] = cell
  return reweighed(
    b,
    (fault, u, c) => {
      const chance = m.shows[fault]!.get(reading)?.[cell] ?? usual
      return [
        u * (told || !b.fitted.has(m.faults[fault]!.place) ? chance : usual),
        c * (told ? chance : usual),
      ]
    },
    cells,
  )
}

/** The rules and nevers that mention one of these readings and are known to hold. */
export function acting(m: Machine, b: Belief, readings: readonly number[]): Mask[] {
  return readings.flatMap((r) => m.masks[r]!.filter(({ when }) => holds(when, b.cells)))
}

function masked(m: Machine, b: Belief, readings: readonly number[]): Belief {
  const masks = acting(m, b, readings)
  return masks[0]
    ? reweighed(b, (fault, u, c) => (masks.some(({ out }) => out.has(fault)) ? [0, 0] : [u, c]))
    : b
}

/** Redoes what the action redoes, then looks for the complaint. */
function looked(m: Machine, b: Belief, { test, putBack }: Action, found: Found): Belief {
  const { part, tries = 1, cures } = m.tests[test]!
  const gone = found === "gone"
  const now = new Map(b.fitted)
  if (putBack) now.delete(part!)
  else if (part !== undefined) now.set(part, test)
  // A swap after which the complaint stays was not the cure: the old part goes back.
  const fitted = gone || putBack ? now : b.fitted
  return reweighed(
    b,
    (fault, u, c) => {
      const { place } = m.faults[fault]!
      const cure = cures.get(place) ?? 0
      const missed = now.has(place) ? 1 : (1 - m.model.recurs[fault]!) ** tries
      return [u * (1 - cure) * (gone ? missed : 1 - missed), gone ? c + u * cure : 0]
    },
    b.cells,
    fitted,
  )
}

function using(b: Belief, test: number): Belief {
  return { ...b, used: new Set([...b.used, test]) }
}

/** The belief after an action and what was found. */
export function after(m: Machine, b: Belief, action: Action, found: Found): Belief {
  const so = using(b, action.test)
  return typeof found === "string"
    ? looked(m, so, action, found)
    : noted(m, so, m.tests[action.test]!.reads!, found)
}

/** The belief after these readings were found in these cells, by whatever test. */
export function noted(m: Machine, b: Belief, readings: readonly number[], cells: readonly number[]): Belief {
  return masked(
    m,
    readings.reduce((so, reading, i) => weigh(m, so, reading, cells[i]!), b),
    readings,
  )
}

export interface Outcome {
  readonly found: Found
  readonly belief: Belief
  /** Among the outcomes: what rules and nevers take away is spread over what is left. */
  readonly chance: number
}

/** A count of elementary steps that may still be spent, shared by all that a caller asks for: no model takes forever. */
export interface Budget {
  left: number
}

/**
 * All that can come of an action, as far as it has weight, in the order of the cells. When the
 * budget is spent the rest is left out.
 */
export function outcomes(m: Machine, b: Belief, action: Action, budget: Budget): Outcome[] {
  const so = using(b, action.test)
  const { reads } = m.tests[action.test]!
  const likely = ({ belief }: { belief: Belief }) => belief.sum > 0
  budget.left -= 2 * b.faults.length
  let all: { found: Found; belief: Belief }[] = reads
    ? [{ found: [], belief: so }]
    : (["gone", "stays"] as const).map((found) => ({ found, belief: looked(m, so, action, found) }))
  for (const reading of reads ?? []) {
    const { cells } = m.readings[reading]!
    const effort = m.masks[reading]!.reduce((sum, { size }) => sum + size, 1)
    all = all
      .flatMap(({ found, belief }) =>
        cells.flatMap((_, cell) => {
          if (budget.left <= 0) return []
          budget.left -= belief.faults.length + effort
          return { found: [...(found as number[]), cell], belief: weigh(m, belief, reading, cell) }
        }),
      )
      .filter(likely)
  }
  if (reads) all = all.map(({ found, belief }) => ({ found, belief: masked(m, belief, reads) }))
  const sum = all.reduce((so, { belief }) => so + belief.sum, 0)
  return all.filter(likely).map((each) => ({ ...each, chance: each.belief.sum / sum }))
}

/** What may be done now: tests in their order, then putting back. */
export function actions(m: Machine, b: Belief, unable: ReadonlySet<number>): Action[] {
  const free = m.tests.flatMap(({ after = [], onlyIf, part }, test): Action[] =>
    !b.used.has(test) &&
    !b.fitted.has(part!) &&
    after.every((t) => b.used.has(t)) &&
    (!onlyIf || holds(onlyIf, b.cells))
      ? [{ test }]
      : [],
  )
  const back = [...b.fitted.values()].map((test): Action => ({ test, putBack: true }))
  return [...free, ...back].filter(({ test }) => !unable.has(test))
}
