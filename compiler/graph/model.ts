import type { Condition, Model } from "../model/model.ts"
import type { GraphCondition, GraphModel, GraphModelTest } from "../run/graph.ts"

/** What the runner needs to go on from findings in any order: the meaning of the ruleset in numbers, at full precision. */
export function writeModel(model: Model): GraphModel {
  return {
    healthy: model.readings.map((r) => [...r.healthy]),
    recurs: model.faults.map((f) => f.recurs),
    shows: model.faults.map((f) =>
      f.chances.flatMap((chances, r): [number, number[]][] => (chances ? [[r, [...chances]]] : [])),
    ),
    tests: model.tests.map((t): GraphModelTest => {
      const onlyIf = t.onlyIf ? { onlyIf: writeCondition(t.onlyIf) } : {}
      if (t.kind === "reads" || t.kind === "told") return { reads: t.reads, ...onlyIf }
      const redoes = t.redoes.map(({ setup, cures }): [number, number] => [setup, cures])
      return { redoes, tries: t.tries, ...(t.part === undefined ? {} : { part: t.part }), ...onlyIf }
    }),
    rules: model.rules.map((r) => ({ when: writeCondition(r.condition), out: r.out })),
    nevers: model.nevers.map((n) => writeCondition(n.condition)),
  }
}

export function writeCondition(c: Condition): GraphCondition {
  if (c.kind === "in") return ["in", c.reading, cellIndexes(c.cells)]
  if (c.kind === "not") return ["not", writeCondition(c.item)]
  return [c.kind, ...c.items.map(writeCondition)]
}

export function cellIndexes(cells: readonly boolean[]): number[] {
  return cells.flatMap((inside, i) => (inside ? [i] : []))
}
