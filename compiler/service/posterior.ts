import { type Findings, type Formula, holds, normal, readingsOf } from "../check/logic/formula.ts"
import type { Model, Reading, Rule } from "../model/model.ts"
import { type FaultStates, makeFaultStates } from "../plan/fault-states.ts"

/** How likely each fault is to be in the machine, and that it is something not listed. */
export interface Presence {
  readonly faults: Float64Array
  readonly unlisted: number
}

/** Chances before any finding. */
export function prior(model: Model): Presence {
  const states = makeFaultStates(model)
  return presenceOf(model, states, states.prior)
}

/** Combinations of states and cells that are looked at in a hover; beyond this it says nothing rather than freeze. */
const MOST_COMBINATIONS = 400_000

/**
 * Chances after one test has read all that the rule speaks of, it is known that the rule's condition holds and nothing
 * else, and the rule has acted; undefined where no state is left. Exact: the readings are independent given the state, so
 * their combinations are summed. `many` where there are too many.
 */
export function posterior(model: Model, rule: Rule): Presence | "many" | undefined {
  const states = makeFaultStates(model)
  const condition = normal(rule.condition)
  const readings = readingsOf(condition)
  const combinations = readings.reduce((so, reading) => so * model.readings[reading]!.cells.length, 1)
  if (combinations * states.count > MOST_COMBINATIONS) return "many"
  const met = meeting(model, condition, readings)
  const weights = states.prior.map((chance, state) => {
    const faults = faultsOf(states, state)
    const holding = met.reduce((sum, findings) => sum + chanceOf(model, faults, readings, findings), 0)
    const left = isStruck(rule, faults) ? holding * (1 - rule.chance) : holding
    // A rule does not change how likely a state was, only what it shows.
    const all = 1 - holding + left
    return all > 1e-12 ? (chance * left) / all : 0
  })
  const sum = weights.reduce((so, weight) => so + weight, 0)
  if (sum <= 0) return undefined
  return presenceOf(
    model,
    states,
    weights.map((weight) => weight / sum),
  )
}

function presenceOf(model: Model, states: FaultStates, weights: Float64Array): Presence {
  const faults = new Float64Array(model.faults.length)
  let unlisted = 0
  for (const [state, weight] of weights.entries()) {
    const present = faultsOf(states, state)
    if (present.length === 0) unlisted += weight
    for (const fault of present) faults[fault] = faults[fault]! + weight
  }
  return { faults, unlisted }
}

function faultsOf(states: FaultStates, state: number): number[] {
  return [states.first[state]!, states.second[state]!].filter((fault) => fault >= 0)
}

/** All findings on these readings under which the condition holds. */
function meeting(model: Model, condition: Formula, readings: readonly number[]): Findings[] {
  const found: Findings[] = []
  const findings = model.readings.map(() => -1)
  const visit = (at: number): void => {
    const reading = readings[at]
    if (reading === undefined) {
      if (holds(condition, findings)) found.push([...findings])
      return
    }
    for (const cell of model.readings[reading]!.cells.keys()) {
      findings[reading] = cell
      visit(at + 1)
    }
    findings[reading] = -1
  }
  visit(0)
  return found
}

function chanceOf(
  model: Model,
  faults: readonly number[],
  readings: readonly number[],
  findings: Findings,
): number {
  return readings.reduce(
    (chance, reading) => chance * cellChance(model, faults, reading, findings[reading]!),
    1,
  )
}

/** The chance of a cell in a machine as it came in (formulas.md, "Readings"). */
function cellChance(model: Model, faults: readonly number[], index: number, cell: number): number {
  const reading = model.readings[index]!
  const speaking = faults.flatMap((fault) => model.faults[fault]!.chances[index] ?? [])
  const base = baseOf(reading, cell)
  const healthy = reading.healthy[cell]!
  const own =
    faults.length === 0
      ? (healthy + base) / 2
      : speaking.length === 0
        ? healthy
        : speaking.reduce((sum, chances) => sum + chances[cell]!, 0) / speaking.length
  return reading.trust * own + (1 - reading.trust) * base
}

function baseOf({ cells }: Reading, cell: number): number {
  return cells[cell]!.weight / cells.reduce((sum, { weight }) => sum + weight, 0)
}

function isStruck({ verb, of }: Rule, faults: readonly number[]): boolean {
  const named = faults.some((fault) => of.includes(fault))
  return verb === "rule out" ? named : !named
}
