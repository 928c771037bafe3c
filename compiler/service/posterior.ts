import { type Findings, holds, normal, readingsOf } from "../check/logic/formula.ts"
import type { Model, Rule } from "../model/model.ts"

/** Chances of the faults before any finding: their odds over the sum. */
export function prior(model: Model): Float64Array {
  const sum = model.faults.reduce((so, fault) => so + fault.odds, 0)
  return Float64Array.from(model.faults, (fault) => fault.odds / sum)
}

/** Combinations of cells that are looked at in a hover; beyond this it says nothing rather than freeze. */
const MOST_COMBINATIONS = 20_000

/**
 * Chances after it is known that the rule's condition holds and nothing else, with the rule's mask; all zero where no
 * fault is left. Exact: the readings of the condition are independent given the fault, so their combinations are summed.
 * Undefined where there are too many.
 */
export function posterior(model: Model, rule: Rule): Float64Array | undefined {
  const condition = normal(rule.condition)
  const readings = readingsOf(condition)
  const combinations = readings.reduce((so, reading) => so * model.readings[reading]!.cells.length, 1)
  if (combinations * model.faults.length > MOST_COMBINATIONS * 20) return undefined
  const weights = new Float64Array(model.faults.length)
  const findings = model.readings.map(() => -1)
  const visit = (at: number) => {
    const reading = readings[at]
    if (reading === undefined) {
      if (holds(condition, findings)) addCombination(model, readings, findings, weights)
      return
    }
    for (let cell = 0; cell < model.readings[reading]!.cells.length; cell++) {
      findings[reading] = cell
      visit(at + 1)
    }
  }
  visit(0)
  for (const fault of rule.out) weights[fault] = 0
  const sum = weights.reduce((so, weight) => so + weight, 0)
  return sum > 0 ? weights.map((weight) => weight / sum) : weights
}

function addCombination(
  model: Model,
  readings: readonly number[],
  findings: Findings,
  weights: Float64Array,
): void {
  for (const [i, fault] of model.faults.entries()) {
    let weight = fault.odds
    for (const reading of readings)
      weight *= (fault.chances[reading] ?? model.readings[reading]!.healthy)[findings[reading]!]!
    weights[i] = weights[i]! + weight
  }
}
