import type { CellIndex, FaultIndex, ReadingIndex, RuleIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Context } from "../context.ts"
import { type Findings, type Formula, holds, readingsOf } from "../logic/formula.ts"

/** A chance up to this is what a fault shows by mistake of the meter or of the author. */
const WORTH_NAMING = 0.02

/** Combinations of cells beyond which a rule is left alone. */
const MOST_COMBINATIONS = 100_000

export interface RuleAgainstShows {
  readonly rule: RuleIndex
  /** Faults that the rule rules out against their own `shows`, those that show it most often first. */
  readonly faults: readonly AgainstShows[]
  /** Faults for which there were too many combinations to try. */
  readonly notProved: readonly FaultIndex[]
}

export interface AgainstShows {
  readonly fault: FaultIndex
  /** The chance that its `shows` give to findings on which the rule acts; what it does not speak of is as the rule needs it. */
  readonly chance: number
  /** The likeliest of these findings. */
  readonly findings: Findings
}

/** Certain rules that rule out a fault under findings which the fault's own `shows` expect. */
export function rulesAgainstShows(context: Context): RuleAgainstShows[] {
  const { model, eliminations, possible } = context
  if (!possible) return []
  const found: RuleAgainstShows[] = []
  for (const rule of model.rules.keys()) {
    const { formula, out, certain } = at(eliminations, rule)
    if (!certain || context.unreachable[rule]) continue
    const readings = readingsOf(formula)
    const faults: AgainstShows[] = []
    const notProved: FaultIndex[] = []
    for (const fault of out) {
      const { chances } = at(model.faults, fault)
      if (!readings.some((reading) => chances[reading] !== undefined)) continue
      const shown = likeliest(context, formula, readings, fault)
      if (shown === "many") notProved.push(fault)
      else if (shown !== undefined && shown.chance > WORTH_NAMING) faults.push(shown)
    }
    faults.sort((a, b) => b.chance - a.chance || a.fault - b.fault)
    if (faults.length > 0 || notProved.length > 0) found.push({ rule, faults, notProved })
  }
  return found
}

/** Cells of a reading that neither the rule nor any `never` tells apart: one of them, and the fault's chance of them all. */
interface CellClass {
  readonly cell: CellIndex
  /** 1 for a reading of which the fault does not speak. */
  readonly chance: number
}

/**
 * The sum over what the fault speaks of, at the values of the other readings that make it largest. Exact: readings are
 * independent given the fault.
 */
function likeliest(
  context: Context,
  formula: Formula,
  readings: readonly ReadingIndex[],
  fault: FaultIndex,
): AgainstShows | "many" | undefined {
  const { model } = context
  const speaks = (reading: ReadingIndex) => at(model.faults, fault).chances[reading] !== undefined
  const order = [...readings.filter((each) => !speaks(each)), ...readings.filter(speaks)]
  const classes = order.map((reading) => classesOf(context, formula, reading, fault))
  if (classes.reduce((product, list) => product * list.length, 1) > MOST_COMBINATIONS) return "many"
  const others = order.findIndex(speaks)
  const findings = model.readings.map((): CellIndex | -1 => -1)
  let best: AgainstShows | undefined
  let likeliestPart = 0
  let part: Findings = findings
  const sum = (place: number, chance: number): number => {
    const reading = order[place]
    if (reading === undefined) {
      if (!holds(formula, findings) || !occurs(context, readings, findings)) return 0
      if (chance > likeliestPart) {
        likeliestPart = chance
        part = findings.slice()
      }
      return chance
    }
    let total = 0
    for (const each of at(classes, place)) {
      if (each.chance <= 0) continue
      findings[reading] = each.cell
      if (place >= others) total += sum(place + 1, chance * each.chance)
      else choose(place + 1)
    }
    findings[reading] = -1
    return total
  }
  const choose = (place: number): void => {
    if (place < others) {
      sum(place, 1)
      return
    }
    likeliestPart = 0
    const chance = sum(place, 1)
    if (chance > (best?.chance ?? 0)) best = { fault, chance, findings: part }
  }
  choose(0)
  return best
}

/** No `never` forbids these findings. */
function occurs(
  { model, space, proofs, keys }: Context,
  readings: readonly ReadingIndex[],
  findings: Findings,
) {
  const bound = keys.bound(readings)
  if (bound === "") return true
  const cells = readings.map((reading) => `${at(model.readings, reading).name}:${findings[reading]}`)
  return proofs.prove(`occurs ${cells.join(" ")} ${proofs.number(bound)}`, () =>
    space.occurs(findings, readings),
  )
}

function classesOf(
  context: Context,
  formula: Formula,
  reading: ReadingIndex,
  fault: FaultIndex,
): CellClass[] {
  const { model, space } = context
  const atoms: (readonly boolean[])[] = []
  const visit = (each: Formula): void => {
    if (each.kind === "in") {
      if (each.reading === reading) atoms.push(each.cells)
    } else for (const item of each.items) visit(item)
  }
  visit(formula)
  for (const never of space.nevers) visit(never)
  const own = at(model.faults, fault).chances[reading]
  const classes = new Map<string, { cell: CellIndex; chance: number; most: number }>()
  for (const cell of at(model.readings, reading).cells.keys()) {
    const key = atoms.map((cells) => (cells[cell] ? "1" : "0")).join("")
    const chance = own?.[cell] ?? 1
    const known = classes.get(key)
    if (known === undefined) classes.set(key, { cell, chance, most: chance })
    else if (own !== undefined) {
      known.chance += chance
      if (chance > known.most) {
        known.cell = cell
        known.most = chance
      }
    }
  }
  return [...classes.values()]
}
