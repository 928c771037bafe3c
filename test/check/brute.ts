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

/** What can be wrong: one fault, two, or (no fault) something not listed. */
export type State = readonly number[]

export function states(model: Model): State[] {
  const { second, unlisted } = model.ruleset
  const faults = [...model.faults.keys()]
  const pairs = second > 0 ? faults.flatMap((f) => faults.filter((g) => g > f).map((g) => [f, g])) : []
  return [...faults.map((f) => [f]), ...pairs, ...(unlisted > 0 ? [[]] : [])]
}

/** Whether a rule acts on a state once its condition is known true. */
export function strikes(rule: Model["rules"][number], state: State): boolean {
  const named = rule.of.some((fault) => state.includes(fault))
  return rule.verb === "rule out" ? named : !named
}

/**
 * What rules a state out on these findings: each a list of names that do it together, a certain rule by its number, a
 * distribution by its reading and its fault.
 */
export function against(model: Model, state: State, evidence: Evidence): string[][] {
  const found = model.rules.flatMap((rule, i) =>
    rule.chance === 1 && strikes(rule, state) && kleene(rule.condition, evidence) === true
      ? [[`rule ${i}`]]
      : [],
  )
  for (const [reading, cell] of evidence.entries()) {
    // An answer that is not fully trusted can be anything.
    if (cell < 0 || state.length === 0 || model.readings[reading]!.trust < 1) continue
    const speaking = state.filter((fault) => model.faults[fault]!.chances[reading] !== undefined)
    const chances = speaking.map((fault) => model.faults[fault]!.chances[reading]![cell]!)
    if (speaking.length === 0 && model.readings[reading]!.healthy[cell] === 0)
      found.push([`normally ${reading}`])
    if (speaking.length > 0 && chances.every((chance) => chance === 0))
      found.push(speaking.map((fault) => `shows ${fault} ${reading}`))
  }
  return found
}

/** Whether some of these names rule the state out. */
export function isOut(exclusions: readonly (readonly string[])[], by: (name: string) => boolean): boolean {
  return exclusions.some((names) => names.every(by))
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
