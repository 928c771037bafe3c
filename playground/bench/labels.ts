import type { Graph } from "../../compiler/run/graph.ts"
import type { Session, TestStep } from "../../compiler/run/index.ts"
import { percent } from "../figures.ts"

/** What a step leaves behind on the machine, in sentences; empty where it only looks. */
export function changesOf(graph: Graph, step: TestStep): string[] {
  const test = graph.model.tests[step.test]!
  const changes: string[] = []
  if (step.putBack !== undefined) changes.push(`The old ${labelOf(graph, step.putBack)} goes back in.`)
  else if (test.part !== undefined)
    changes.push(
      `A known-good ${graph.places[test.part]!.label} goes in. If the complaint stays, the old one goes back.`,
    )
  for (const [setup, cures] of test.redoes ?? []) {
    const label = graph.places[setup]!.label
    changes.push(
      cures < 1
        ? `Does again: ${label} (mends a fault there ${percent(cures)} of the time).`
        : `Does again: ${label}.`,
    )
  }
  for (const place of test.part === undefined ? [] : (graph.places[test.part]!.behind ?? []))
    changes.push(`${graph.places[place]!.label} comes off on the way.`)
  return changes
}

export function labelOf(graph: Graph, place: string): string {
  return graph.places.find((each) => each.name === place)?.label ?? place
}

/** One line of the log in words: what was done and what was found. */
export function entryText(graph: Graph, entry: Session["log"][number]): { what: string; found: string } {
  const { test, reading, putBack, cannot, found, said } = entry
  if (test === undefined) return { what: graph.readings[reading!]!.question, found: said?.join(", ") ?? "" }
  const { part } = graph.model.tests[test]!
  const what = putBack
    ? `Put back: ${part === undefined ? "" : graph.places[part]!.label}`
    : graph.tests[test]!.instruction
  if (cannot) return { what, found: "cannot be done here" }
  if (found === "gone") return { what, found: "complaint gone" }
  if (found === "stays") return { what, found: "complaint stays" }
  return { what, found: said?.join(", ") ?? "" }
}
