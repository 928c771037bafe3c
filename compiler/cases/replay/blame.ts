/**
 * Which rule, `shows` or look ruled out the confirmed fault: looked for in all that a record found on the faulty machine,
 * asked on the walk or not. These are the mistakes worth a senior's time, the ruleset's or the bench's.
 */
import { holds } from "../../run/belief.ts"
import type { Graph, GraphCondition } from "../../run/graph.ts"
import type { Case } from "../record/case.ts"
import { chanceOf, look, status, untouched } from "./true-machine.ts"

export interface Blame {
  readonly cause:
    | { readonly kind: "rule"; readonly rule: number }
    /** The fault is said never to show this. */
    | { readonly kind: "shows"; readonly reading: number; readonly cell: number }
    /** The complaint came out otherwise than it can with this fault. */
    | {
        readonly kind: "look"
        readonly test: number
        readonly putBack: boolean
        readonly found: "gone" | "stays"
      }
    /** The findings are said never to occur together. */
    | { readonly kind: "never"; readonly never: number }
  /** Index of the record's step whose finding did it; -1 for a told answer. */
  readonly step: number
}

export function blames(graph: Graph, record: Case): Blame[] {
  if (record.truth.known !== "listed") return []
  const { fault } = record.truth
  const rules = graph.model.rules.flatMap(({ out }, rule) => (out.includes(fault) ? [rule] : []))
  const fired = new Set<GraphCondition>()
  const found: Blame[] = []
  const evidence: (number | undefined)[] = []
  let machine = untouched

  const fires = (when: GraphCondition) => {
    if (fired.has(when) || !holds(when, evidence)) return false
    fired.add(when)
    return true
  }
  const learn = (reading: number, cell: number, step: number) => {
    evidence[reading] = cell
    if (chanceOf(graph, fault, machine, reading, cell) === 0)
      found.push({ cause: { kind: "shows", reading, cell }, step })
    for (const rule of rules)
      if (fires(graph.model.rules[rule]!.when)) found.push({ cause: { kind: "rule", rule }, step })
    graph.model.nevers.forEach((when, never) => {
      if (fires(when)) found.push({ cause: { kind: "never", never }, step })
    })
  }

  for (const { reading, cell } of record.told) learn(reading, cell, -1)
  record.steps.forEach((step, n) => {
    if (typeof step.found === "string") {
      if (step.test === undefined) return
      const seen = look(graph, record.truth, machine, step.test, step.putBack)
      if (step.found === "gone" ? seen.gone === 0 : seen.gone === 1)
        found.push({
          cause: { kind: "look", test: step.test, putBack: step.putBack, found: step.found },
          step: n,
        })
      machine = seen.after[step.found]
      return
    }
    // What a mended machine shows rules out nothing that was there before.
    for (const { reading, cell } of step.found)
      if (graph.readings[reading]!.told || status(machine) !== "inactive") learn(reading, cell, n)
  })
  return found
}
