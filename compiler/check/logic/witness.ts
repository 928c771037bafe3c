import { type Fewest, fewest } from "./fewest.ts"
import { type Findings, type Formula, holds } from "./formula.ts"
import type { Space } from "./space.ts"

/** How many elements a need is shortened by asking about each: more costs more than the shorter need saves. */
const SHORTEN = 40

/** More findings (or rules) than this are only thinned out: none can be left out, but other, fewer ones are not looked for. */
export const MOST_COUNTED = 29

/** A statement about the machine that can be switched on: `node` makes it so, `met` says whether it is so. */
export interface Part {
  readonly node: number
  readonly met: (machine: Findings) => boolean
}

export function partTrue(space: Space, formula: Formula): Part {
  return { node: space.holdsActually(formula), met: (machine) => holds(formula, machine) }
}

export function partFalse(space: Space, formula: Formula): Part {
  return { node: space.failsActually(formula), met: (machine) => !holds(formula, machine) }
}

/**
 * The fewest parts that no machine meets together, by index; undefined where a machine meets them all. `readings`: all
 * that the parts speak of. `effort`: conflicts that the search for the fewest may meet.
 */
export function smallestConflict(
  space: Space,
  parts: readonly Part[],
  readings: readonly number[],
  effort: number,
): Fewest | undefined {
  const nodes = parts.map((part) => part.node)
  if (space.askActual(nodes, readings) !== "no") return undefined
  const start = space.solver.core
  const until = space.solver.conflicts + effort
  const ask = (elements: readonly number[]) =>
    space.askActual(
      elements.map((i) => nodes[i]!),
      readings,
      Math.max(1, until - space.solver.conflicts),
    )
  return fewest(start, (elements) => {
    const chosen = [...elements]
    const answer = ask(chosen)
    if (answer !== "yes") return answer === "no" ? "enough" : "unknown"
    const inside = new Set(elements)
    const absorb = (): void => {
      const machine = space.machine(readings)
      for (const [i, part] of parts.entries()) if (part.met(machine)) inside.add(i)
    }
    absorb()
    for (let i = 0, asked = 0; i < parts.length && asked < SHORTEN; i++) {
      if (inside.has(i)) continue
      asked++
      if (ask([...inside, i]) === "yes") absorb()
    }
    return [...parts.keys()].filter((i) => !inside.has(i))
  })
}

/** `smallest` as in `Fewest`. */
export interface FewestFindings {
  readonly findings: Findings
  readonly smallest: boolean
}

/**
 * The fewest findings that can occur and under which all nodes hold; undefined where none can. `settles`: whether
 * findings are enough by themselves, which spares questions while the first answer is thinned out. `first`: nodes worth
 * deciding before any reading.
 */
export function fewestFindings(
  space: Space,
  nodes: readonly number[],
  readings: readonly number[],
  settles: (findings: Findings) => boolean,
  effort: number,
  first: readonly number[] = [],
): FewestFindings | undefined {
  if (space.ask(nodes, readings, undefined, first) !== "yes") return undefined
  const thinned = (): Findings => {
    let findings: Findings = space.findings(readings)
    for (const reading of readings) {
      const without = findings.with(reading, -1)
      if (findings[reading]! >= 0 && settles(without)) findings = without
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
    const answer = size === 0 ? "no" : space.ask([...nodes, counter(size - 1)], readings, budget, first)
    if (answer !== "yes") return { findings, smallest: answer === "no" }
    findings = thinned()
    size = read(findings)
  }
}

function read(findings: Findings): number {
  return findings.filter((cell) => cell >= 0).length
}
