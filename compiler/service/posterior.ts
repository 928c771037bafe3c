import type { Condition, Model, Rule } from "../model/model.ts"

/** Chances of the faults before any finding: their odds over the sum. */
export function prior(model: Model): Float64Array {
  const sum = model.faults.reduce((so, fault) => so + fault.odds, 0)
  return Float64Array.from(model.faults, (fault) => fault.odds / sum)
}

/** Combinations of cells that are looked at in a hover; beyond this it says nothing rather than freeze. */
const mostCombinations = 20_000

/**
 * Chances after it is known that the rule's condition holds and nothing else, with the rule's mask; all zero where no
 * fault is left. Exact: the readings of the condition are independent given the fault, so their combinations are summed.
 * Undefined where there are too many.
 */
export function posterior(model: Model, rule: Rule): Float64Array | undefined {
  const readings = [...readingsOf(rule.condition)]
  const combinations = readings.reduce((so, reading) => so * model.readings[reading]!.cells.length, 1)
  if (combinations * model.faults.length > mostCombinations * 20) return undefined
  const weights = new Float64Array(model.faults.length)
  const cells = new Map<number, number>()
  const visit = (at: number) => {
    const reading = readings[at]
    if (reading === undefined) {
      if (holds(rule.condition, cells)) addCombination(model, cells, weights)
      return
    }
    for (let cell = 0; cell < model.readings[reading]!.cells.length; cell++) {
      cells.set(reading, cell)
      visit(at + 1)
    }
  }
  visit(0)
  for (const fault of rule.out) weights[fault] = 0
  const sum = weights.reduce((so, weight) => so + weight, 0)
  return sum > 0 ? weights.map((weight) => weight / sum) : weights
}

function addCombination(model: Model, cells: ReadonlyMap<number, number>, weights: Float64Array): void {
  for (const [i, fault] of model.faults.entries()) {
    let weight = fault.odds
    for (const [reading, cell] of cells)
      weight *= (fault.chances[reading] ?? model.readings[reading]!.healthy)[cell]!
    weights[i] = weights[i]! + weight
  }
}

function readingsOf(condition: Condition): Set<number> {
  if (condition.kind === "in") return new Set([condition.reading])
  if (condition.kind === "not") return readingsOf(condition.item)
  return new Set(condition.items.flatMap((item) => [...readingsOf(item)]))
}

function holds(condition: Condition, cells: ReadonlyMap<number, number>): boolean {
  switch (condition.kind) {
    case "in":
      return condition.cells[cells.get(condition.reading)!]!
    case "not":
      return !holds(condition.item, cells)
    case "and":
      return condition.items.every((item) => holds(item, cells))
    case "or":
      return condition.items.some((item) => holds(item, cells))
  }
}
