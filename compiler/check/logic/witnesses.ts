import type { ReadingIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { type Findings, type Formula, holds, readingsOf } from "./formula.ts"
import { type SmallestSet, smallestSet } from "./smallest-set.ts"
import type { Answer } from "./solver.ts"
import type { FindingSpace } from "./space.ts"

/** More findings (or rules) than this are only thinned out: none can be left out, but other, fewer ones are not looked for. */
export const MOST_COUNTED = 29

/** A statement about the machine that can be switched on: `node` makes it so, `met` says whether it is so. */
export interface Part {
  readonly node: number
  readonly readings: readonly ReadingIndex[]
  readonly met: (machine: Findings) => boolean
}

export function partTrue(space: FindingSpace, formula: Formula): Part {
  const met = (machine: Findings) => holds(formula, machine)
  return { node: space.holdsActually(formula), readings: readingsOf(formula), met }
}

export function partFalse(space: FindingSpace, formula: Formula): Part {
  const met = (machine: Findings) => !holds(formula, machine)
  return { node: space.failsActually(formula), readings: readingsOf(formula), met }
}

/**
 * The fewest parts that no machine meets together, by index; undefined if a machine meets them all. Without parts
 * there must be a machine. `effort`: conflicts that the search may meet. Where it ends before anything is known, all parts
 * are given: the caller has proved that no machine meets them, or asks only where one has.
 */
export function smallestConflict(
  space: FindingSpace,
  parts: readonly Part[],
  effort: number,
): SmallestSet<number> | undefined {
  const until = space.solver.conflicts + effort
  const nodes = parts.map((part) => part.node)
  const readings = [...new Set(parts.flatMap((part) => part.readings))]
  const all = space.askActual(nodes, readings, effort)
  if (all === "yes") return undefined
  if (all === "unknown") return { elements: [...parts.keys()], smallest: false }
  const start = space.solver.core
  // A machine that meets as many parts as can be: then few are left of which one more is needed. Those that were left
  // last go first, so that each need is unlike those before.
  let order = nodes
  return smallestSet(start, (elements) => {
    const chosen = [...elements].map((i) => at(nodes, i))
    const answer = space.askMost(chosen, order, readings, Math.max(1, until - space.solver.conflicts))
    if (answer !== "yes") return answer === "no" ? "enough" : "unknown"
    const machine = space.machine(readings)
    const need = [...parts.keys()].filter((i) => !at(parts, i).met(machine))
    order = [...new Set([...need.map((i) => at(nodes, i)), ...order])]
    return need
  })
}

/** The same of parts that are known not to be met together. */
export function smallestKnownConflict(
  space: FindingSpace,
  parts: readonly Part[],
  effort: number,
): SmallestSet<number> {
  const conflict = smallestConflict(space, parts, effort)
  if (conflict === undefined) throw new Error("a machine meets parts that were proved to conflict")
  return conflict
}

/** `smallest` as in `SmallestSet`. */
export interface FewestFindings {
  readonly findings: Findings
  readonly smallest: boolean
}

/** Asks whether findings can occur under which certain nodes hold, and the further ones too. */
export type AskFindings = (further: readonly number[], budget?: number) => Answer

/**
 * The fewest findings for which `ask` says yes; undefined if there are none. `settles`: whether findings are enough
 * by themselves, which spares questions while an answer is thinned out.
 */
export function fewestFindings(
  space: FindingSpace,
  ask: AskFindings,
  readings: readonly ReadingIndex[],
  settles: (findings: Findings) => boolean,
  effort: number,
): FewestFindings | undefined {
  if (ask([]) !== "yes") return undefined
  const thinned = (): Findings => {
    let findings: Findings = space.findings(readings)
    for (const reading of readings) {
      const without = findings.with(reading, -1)
      if (at(findings, reading) >= 0 && settles(without)) findings = without
    }
    return findings
  }
  const until = space.solver.conflicts + effort
  let findings = thinned()
  let size = read(findings)
  if (size > MOST_COUNTED) return { findings, smallest: false }
  const counter = space.readCounter(readings, size)
  for (;;) {
    const budget = Math.max(1, until - space.solver.conflicts)
    const answer = size === 0 ? "no" : ask([counter(size - 1)], budget)
    if (answer !== "yes") return { findings, smallest: answer === "no" }
    findings = thinned()
    size = read(findings)
  }
}

function read(findings: Findings): number {
  return findings.filter((cell) => cell >= 0).length
}
