import type { Condition, Model } from "../../compiler/model/model.ts"
import type { Graph, GraphCondition, GraphNode } from "../../compiler/run/graph.ts"

/**
 * A graph of a model, written down without the compiler, so that the runner's tests stand on their own feet. Without
 * `nodes` it has the one node `advise`: every step is taken from the model.
 */
export function graphOf(model: Model, nodes: readonly GraphNode[] = [{ do: "advise" }]): Graph {
  const { ruleset } = model
  return {
    format: "ruleout-graph/1",
    ruleset: {
      name: ruleset.name,
      title: ruleset.title,
      version: ruleset.version,
      source: "sha256:0",
      compiler: "0.0.0",
    },
    money: ruleset.money,
    bench: ruleset.bench,
    comeback: ruleset.comeback,
    handover: ruleset.handover,
    trust: ruleset.trust,
    complaint: { name: model.complaint.name, text: model.complaint.text },
    places: model.places.map((each) => ({
      name: each.name,
      label: each.label,
      kind: each.kind,
      price: each.price,
      ...(each.of === undefined ? {} : { of: each.of }),
      behind: each.behind,
    })),
    faults: model.faults.map(({ name, label, place, odds }) => ({ name, label, place, odds })),
    readings: model.readings.map((each) => ({
      name: each.name,
      question: each.question,
      told: each.told,
      ...(each.cells.some((cell) => cell.value === undefined) ? quantity(each) : {}),
      cells: each.cells.map((cell) =>
        cell.value === undefined
          ? { label: cell.label, from: at(each, cell.first!), to: at(each, cell.last!) }
          : { label: cell.label, values: [cell.value] },
      ),
    })),
    tests: model.tests.map((each) => ({
      name: each.name,
      instruction: each.instruction,
      kind: each.kind,
      minutes: each.minutes,
      cost: each.cost,
      needs: each.needs,
      cautions: each.cautions,
      ...(each.power ? { power: each.power } : {}),
      after: each.after,
    })),
    rules: model.rules.map((each) => ({
      line: each.line,
      ...(each.because ? { because: each.because } : {}),
    })),
    proofs: [],
    start: 0,
    nodes,
    expected: { total: 0, tests: 0, minutes: 0, steps: 0, wrong: 0, handover: 0 },
    proof: { exact: false, lower: 0 },
    model: {
      healthy: model.readings.map((each) => [...each.healthy]),
      recurs: model.faults.map((each) => each.recurs),
      shows: model.faults.map((each) =>
        each.chances.flatMap((chances, reading) => (chances ? [[reading, [...chances]] as const] : [])),
      ),
      tests: model.tests.map((each) => ({
        ...(each.reads.length ? { reads: each.reads } : {}),
        ...(each.part === undefined ? {} : { part: each.part }),
        redoes: each.redoes.map(({ setup, cures }) => [setup, cures] as const),
        tries: each.tries,
        ...(each.onlyIf ? { onlyIf: conditionOf(each.onlyIf) } : {}),
      })),
      rules: model.rules.map((each) => ({ when: conditionOf(each.condition), out: each.out })),
      nevers: model.nevers.map((each) => conditionOf(each.condition)),
    },
  }
}

type Reading = Model["readings"][number]

function at(reading: Reading, index: number): number {
  const { from, by } = reading.grid ?? { from: 0, by: 1 }
  return Number((from + index * by).toPrecision(12))
}

function quantity(reading: Reading) {
  const last = reading.cells.at(-1)!.last!
  return reading.grid
    ? { unit: reading.grid.unit, from: reading.grid.from, to: at(reading, last), by: reading.grid.by }
    : { unit: "V", from: 0, to: last, by: 1 }
}

export function conditionOf(condition: Condition): GraphCondition {
  if (condition.kind === "in")
    return ["in", condition.reading, condition.cells.flatMap((inside, cell) => (inside ? [cell] : []))]
  if (condition.kind === "not") return ["not", conditionOf(condition.item)]
  return [condition.kind, ...condition.items.map(conditionOf)]
}
