import type { CellSet, Condition, Gate, Model, Test, Work } from "../model/model.ts"
import { fixWork, replaceWork, workCost } from "../model/repairs.ts"
import type { GraphCondition, GraphGate, GraphModel, GraphModelTest, GraphWork } from "../run/graph.ts"
import { type CellIndex, tableOf } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"

/** What the runner needs to go on from findings in any order: the meaning of the ruleset in numbers, at full precision. */
export function writeModel(model: Model): GraphModel {
  const { readings, faults, places, complaint } = model
  const work = (w: Work | undefined, gate?: Gate): GraphWork | null =>
    w
      ? {
          minutes: w.minutes,
          cost: workCost(model, w),
          waits: w.waits,
          ...(w.test === undefined ? {} : { test: w.test }),
          ...(gate && writeGate(gate)),
        }
      : null
  return {
    complaint: { minutes: complaint.minutes, tries: complaint.tries },
    base: readings.map(({ cells }) => {
      const all = cells.reduce((sum, { weight }) => sum + weight, 0)
      return cells.map(({ weight }) => weight / all)
    }),
    healthy: readings.map(({ cells, healthy }) => cells.map((_, cell) => at(healthy, cell))),
    trust: readings.map(({ trust }) => trust),
    recurs: faults.map(({ recurs }) => recurs),
    shows: faults.map(({ chances }) =>
      chances.flatMap((each, r) => (each ? [[r, tableOf<CellIndex, number>([...each])] as const] : [])),
    ),
    eased: faults.map(({ eased }) => eased.map(({ setup, chance }) => [setup, chance] as const)),
    reach: places.map(({ reach }) => reach.map((setup) => [setup, at(places, setup).cures] as const)),
    replace: places.map(({ kind, gate }, place) =>
      kind === "part" ? work(replaceWork(model, place), gate) : null,
    ),
    fix: faults.map(({ gate }, fault) => work(fixWork(model, fault), gate)),
    tests: model.tests.map(writeTest),
    rules: model.rules.map(({ condition, verb, of, chance }) => ({
      when: writeCondition(condition),
      verb,
      of,
      chance,
    })),
    nevers: model.nevers.map(({ condition }) => writeCondition(condition)),
  }
}

function writeGate({ after, afterAny, onlyIf }: Gate): GraphGate {
  return {
    ...(after.length === 0 ? {} : { after }),
    ...(afterAny.length === 0 ? {} : { afterAny }),
    ...(onlyIf ? { onlyIf: writeCondition(onlyIf) } : {}),
  }
}

function writeTest({ kind, reads, parts, redoes, tries, onlyIf }: Test): GraphModelTest {
  const only = onlyIf ? { onlyIf: writeCondition(onlyIf) } : {}
  if (kind === "reads" || kind === "told") return { reads, ...only }
  return {
    ...(kind === "redoes" ? {} : { parts }),
    redoes: redoes.map(({ setup, cures }) => [setup, cures] as const),
    tries,
    ...only,
  }
}

export function writeCondition(c: Condition): GraphCondition {
  if (c.kind === "in") return ["in", c.reading, cellIndexes(c.cells)]
  if (c.kind === "not") return ["not", writeCondition(c.item)]
  return [c.kind, ...c.items.map(writeCondition)]
}

export function cellIndexes(cells: CellSet): CellIndex[] {
  return cells.flatMap((inside, i) => (inside ? [i] : []))
}
