import { type Findings, type Formula, holds, normal, readingsOf } from "../check/logic/formula.ts"
import type { Model, Reading, Rule } from "../model/model.ts"
import { type FaultStates, makeFaultStates } from "../plan/fault-states.ts"
import type { CellIndex, FaultIndex, ReadingIndex, Table } from "../run/indexes.ts"
import { addTo, at } from "../run/lookup.ts"

/** How likely each fault is to be in the machine, and that it is something not listed. */
export interface Presence {
  readonly faults: Table<FaultIndex, number>
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
 * else, and the rule has acted; undefined if no state is left. Exact: the readings are independent given the state, so
 * their combinations are summed. `many` where there are too many.
 */
export function posterior(model: Model, rule: Rule): Presence | "many" | undefined {
  const states = makeFaultStates(model)
  const condition = normal(rule.condition)
  const readings = readingsOf(condition)
  const combinations = readings.reduce((so, reading) => so * at(model.readings, reading).cells.length, 1)
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
  const faults = model.faults.map(() => 0)
  let unlisted = 0
  for (const [state, weight] of weights.entries()) {
    const present = faultsOf(states, state)
    if (present.length === 0) unlisted += weight
    for (const fault of present) addTo(faults, fault, weight)
  }
  return { faults, unlisted }
}

function faultsOf(states: FaultStates, state: number): FaultIndex[] {
  return [at(states.first, state), at(states.second, state)].filter(
    (fault): fault is FaultIndex => fault >= 0,
  )
}

/** All findings on these readings under which the condition holds. */
function meeting(model: Model, condition: Formula, readings: readonly ReadingIndex[]): Findings[] {
  const found: Findings[] = []
  const findings = model.readings.map((): CellIndex | -1 => -1)
  const visit = (i: number): void => {
    const reading = readings[i]
    if (reading === undefined) {
      if (holds(condition, findings)) found.push(findings.slice())
      return
    }
    for (const cell of at(model.readings, reading).cells.keys()) {
      findings[reading] = cell
      visit(i + 1)
    }
    findings[reading] = -1
  }
  visit(0)
  return found
}

function chanceOf(
  model: Model,
  faults: readonly FaultIndex[],
  readings: readonly ReadingIndex[],
  findings: Findings,
): number {
  return readings.reduce(
    (chance, reading) => chance * cellChance(model, faults, reading, at(findings, reading) as CellIndex),
    1,
  )
}

/** The chance of a cell in a machine as it came in (formulas.md, "Readings"). */
function cellChance(
  model: Model,
  faults: readonly FaultIndex[],
  index: ReadingIndex,
  cell: CellIndex,
): number {
  const reading = at(model.readings, index)
  const speaking = faults.flatMap((fault) => at(model.faults, fault).chances[index] ?? [])
  const base = baseOf(reading, cell)
  const healthy = at(reading.healthy, cell)
  const own =
    faults.length === 0
      ? (healthy + base) / 2
      : speaking.length === 0
        ? healthy
        : speaking.reduce((sum, chances) => sum + at(chances, cell), 0) / speaking.length
  return reading.trust * own + (1 - reading.trust) * base
}

function baseOf({ cells }: Reading, cell: CellIndex): number {
  return at(cells, cell).weight / cells.reduce((sum, { weight }) => sum + weight, 0)
}

function isStruck({ verb, of }: Rule, faults: readonly FaultIndex[]): boolean {
  const named = faults.some((fault) => of.includes(fault))
  return verb === "rule out" ? named : !named
}
