import type { Condition, Model } from "../../compiler/model/model.ts"

/** The analysis by its definitions: every set of findings in turn. Shares no code with `compiler/check/`. */

/** A cell by reading, -1 where it has not been read. */
export type Evidence = readonly number[]

/** Kleene's three values; undefined is unknown. */
export function kleene(condition: Condition, evidence: Evidence): boolean | undefined {
  if (condition.kind === "in") {
    const cell = evidence[condition.reading]!
    return cell < 0 ? undefined : condition.cells[cell]!
  }
  if (condition.kind === "not") {
    const item = kleene(condition.item, evidence)
    return item === undefined ? undefined : !item
  }
  const values = condition.items.map((item) => kleene(item, evidence))
  const decides = condition.kind === "or"
  if (values.includes(decides)) return decides
  return values.includes(undefined) ? undefined : !decides
}

export function machines(model: Model): Evidence[] {
  let all: number[][] = [[]]
  for (const { cells } of model.readings)
    all = all.flatMap((before) => cells.map((_, cell) => [...before, cell]))
  return all.filter((machine) => !model.nevers.some((never) => kleene(never.condition, machine)))
}

/** All partial findings that a machine can show. */
export function findings(model: Model): Evidence[] {
  const all = new Map<string, Evidence>()
  for (const machine of machines(model)) {
    for (let read = 0; read < 1 << machine.length; read++) {
      const evidence = machine.map((cell, i) => ((read >> i) & 1 ? cell : -1))
      all.set(evidence.join(" "), evidence)
    }
  }
  return [...all.values()]
}

/** Names of what rules a fault out: rules by number, distributions by reading. */
export function against(model: Model, fault: number, evidence: Evidence): string[] {
  const names = model.rules.flatMap((rule, i) =>
    rule.out.includes(fault) && kleene(rule.condition, evidence) === true ? [`rule ${i}`] : [],
  )
  for (const [reading, cell] of evidence.entries()) {
    if (cell < 0) continue
    const own = model.faults[fault]!.chances[reading]
    const chance = (own ?? model.readings[reading]!.healthy)[cell]
    if (chance === 0) names.push(own === undefined ? `normally ${reading}` : `shows ${fault} ${reading}`)
  }
  return names
}

/** The size of the smallest subset of `items` that `enough` accepts; Infinity where none is. */
export function fewest<T>(items: readonly T[], enough: (subset: readonly T[]) => boolean): number {
  let best = Number.POSITIVE_INFINITY
  for (let bits = 0; bits < 1 << items.length; bits++) {
    const subset = items.filter((_, i) => (bits >> i) & 1)
    if (subset.length < best && enough(subset)) best = subset.length
  }
  return best
}
