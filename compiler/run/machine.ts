import { readingsOf } from "./condition.ts"
import type { Graph, GraphCondition, GraphGate, GraphModelTest, GraphTest } from "./graph.ts"
import type {
  CellIndex,
  FaultIndex,
  PlaceIndex,
  ReadingIndex,
  RuleIndex,
  Table,
  TestIndex,
} from "./indexes.ts"

/** The graph, with all that it says of a thing in one place. */
export interface Machine extends Omit<Graph, "tests"> {
  readonly tests: Table<TestIndex, MachineTest>
  /** As the graph lists them. */
  readonly graphTests: Table<TestIndex, GraphTest>
  /** By fault: its own distributions, by reading. */
  readonly shows: Table<FaultIndex, ReadonlyMap<ReadingIndex, Table<CellIndex, number>>>
  /** By fault: chance that redoing this setup cures it too. */
  readonly eased: Table<FaultIndex, Redone>
  /** By place: what is redone when a part is reached, or when this setup is redone. */
  readonly reach: Table<PlaceIndex, Redone>
  /** Rules in their order, then nevers. */
  readonly laws: readonly Law[]
  /** By reading: the laws that name it. */
  readonly lawsOf: Table<ReadingIndex, readonly Law[]>
}

/** Setups redone, each with the chance that this cures a fault in it. */
export type Redone = ReadonlyMap<PlaceIndex, number>

export interface MachineTest extends GraphTest, Omit<GraphModelTest, "redoes" | "reads" | "parts"> {
  readonly reads: readonly ReadingIndex[]
  readonly parts: readonly PlaceIndex[]
  readonly redoes: Redone
  /** Whether another test waits for this one, or another test or a proof for what it reads. */
  readonly isAwaited: boolean
}

/** A rule, or a `never`, which leaves nothing where it is true. */
export interface Law {
  readonly when: GraphCondition
  readonly readings: ReadonlySet<ReadingIndex>
  /** Names told questions only: every fault of a state counts as active. */
  readonly told: boolean
  /** Index of the rule; undefined for a `never`. */
  readonly rule: RuleIndex | undefined
  /** Whether it strikes the states that have none of its faults active; else those that have one. */
  readonly leavesOnly: boolean
  readonly of: ReadonlySet<FaultIndex | -1>
  /** What it strikes keeps the rest of 1. */
  readonly chance: number
}

export function machineOf(graph: Graph): Machine {
  const { model, readings } = graph
  const law = (when: GraphCondition, rest: Omit<Law, "when" | "readings" | "told">): Law => {
    const names = readingsOf(when)
    return { when, readings: names, told: [...names].every((r) => readings[r]!.told), ...rest }
  }
  const laws = [
    ...model.rules.map(({ when, verb, of, chance }, rule) =>
      law(when, { rule, leavesOnly: verb === "leaves only", of: new Set(of), chance }),
    ),
    ...model.nevers.map((when) =>
      law(when, { rule: undefined, leavesOnly: false, of: new Set(), chance: 1 }),
    ),
  ]
  const gates: GraphGate[] = [...graph.tests, ...model.tests, ...model.replace, ...model.fix].flatMap(
    (each) => each ?? [],
  )
  const before = new Set(gates.flatMap(({ after = [], afterAny = [] }) => [...after, ...afterAny]))
  const wanted = new Set(graph.proofs.flatMap(({ expects }) => (expects ? [expects.reading] : [])))
  for (const { onlyIf } of gates) if (onlyIf) readingsOf(onlyIf, wanted)
  return {
    ...graph,
    graphTests: graph.tests,
    tests: model.tests.map(({ reads = [], parts = [], redoes = [], ...rest }, t) => ({
      ...graph.tests[t]!,
      ...rest,
      reads,
      parts,
      redoes: new Map(redoes),
      isAwaited: before.has(t) || reads.some((reading) => wanted.has(reading)),
    })),
    shows: model.shows.map((pairs) => new Map(pairs)),
    eased: model.eased.map((pairs) => new Map(pairs)),
    reach: model.reach.map((pairs) => new Map(pairs)),
    laws,
    lawsOf: readings.map((_, r) => laws.filter((each) => each.readings.has(r))),
  }
}
