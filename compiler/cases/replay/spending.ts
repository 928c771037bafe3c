import type { Graph } from "../../run/graph.ts"
import type { Case } from "../record/case.ts"

/** The test that asks a told question, by reading. */
export function askers(graph: Graph): ReadonlyMap<number, number> {
  return new Map(
    graph.tests.flatMap(({ kind }, test): [number, number][] => {
      const asks = graph.model.tests[test]!.reads?.[0]
      return kind === "told" && asks !== undefined ? [[asks, test]] : []
    }),
  )
}

/** Minutes and bench money that the record itself spent. `told`: its `askers`. */
export function recordedSpending(
  graph: Graph,
  record: Case,
  told: ReadonlyMap<number, number>,
): { readonly minutes: number; readonly work: number } {
  let minutes = record.otherMinutes
  let work = (record.otherMinutes * graph.bench) / 60
  const spend = (test: number | undefined, taken: number | undefined) => {
    const took = taken ?? (test === undefined ? 0 : graph.tests[test]!.minutes)
    minutes += took
    work += (took * graph.bench) / 60
    if (test !== undefined) work += graph.tests[test]!.cost - (graph.tests[test]!.minutes * graph.bench) / 60
  }
  for (const step of record.steps) spend(step.test, step.minutes)
  for (const { reading } of record.told) spend(told.get(reading), undefined)
  return { minutes, work }
}
