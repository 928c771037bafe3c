import type { Graph, GraphModel, GraphTest, GraphWork } from "./graph.ts"
import type { FaultIndex, PlaceIndex, ProofIndex, ReadingIndex, Table, TestIndex } from "./indexes.ts"

/** What is asked of a graph. */
interface Worked extends Pick<Graph, "faults" | "model"> {
  readonly tests: Table<TestIndex, GraphTest>
}

/** An action, or a node at which nothing is done. */
export interface Doing {
  readonly do: string
  readonly test?: TestIndex
  readonly reading?: ReadingIndex
  readonly part?: PlaceIndex
  readonly fault?: FaultIndex
  readonly leaveIn?: boolean
  readonly proofs?: readonly ProofIndex[]
}

/** The test that is done, where one is. */
export function testOf<T>(tests: Table<TestIndex, T>, { test }: Doing | GraphWork): T | undefined {
  return tests[test ?? -1]
}

/** The place that an action works on, if it works on one: of a part's action the part, of a fix the fault's place. */
export function placeOf({ faults }: Pick<Graph, "faults">, { part, fault }: Doing): PlaceIndex | undefined {
  return faults[fault ?? -1]?.place ?? part
}

/** What a repair takes, where there is such a repair. */
export function workOf({ replace, fix }: GraphModel, action: Doing): GraphWork | null | undefined {
  return action.do === "replace" ? replace[action.part!] : fix[action.fault ?? -1]
}

/** The tests whose cautions hold for an action: the test itself; of other work on a place, all that work on it. */
export function testsThatCaution(graph: Worked, action: Doing): GraphTest[] {
  if (action.do === "keep") return []
  const place = placeOf(graph, action)
  return graph.tests.filter((_, t) => {
    const { parts, redoes } = graph.model.tests[t]!
    return t === action.test || parts?.includes(place!) || redoes?.some(([setup]) => setup === place)
  })
}

/** What can hurt, each caution once. */
export function cautionsOf(graph: Worked, action: Doing): string[] {
  return [...new Set(testsThatCaution(graph, action).flatMap(({ cautions }) => cautions))]
}

/** The tools of a test; of a repair that takes a test's work those of that test. */
export function toolsOf({ tests, model }: Worked, action: Doing): readonly string[] {
  return testOf(tests, workOf(model, action) ?? action)?.needs ?? []
}
