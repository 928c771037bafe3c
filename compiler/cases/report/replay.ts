/** Recorded cases held against a compiled graph. Streams go through `readCase` and `Tally` themselves, line by line. */
import { type CaseDiagnostic, readCases } from "../record/read.ts"
import { indexGraph } from "../replay/graph-index.ts"
import type { Report } from "./report.ts"
import { Tally } from "./tally.ts"

/**
 * Replays all cases of a text, one line of JSON each, on a graph as parsed from its JSON.
 *
 * @throws RunError where it is not a graph that the runner can run. Nothing in `text` makes it throw.
 */
export function replay(
  graph: unknown,
  text: string,
  file?: string,
): { readonly report: Report; readonly diagnostics: readonly CaseDiagnostic[] } {
  const index = indexGraph(graph)
  const tally = new Tally(index)
  const diagnostics: CaseDiagnostic[] = []
  for (const line of readCases(text, index.graph, file)) {
    diagnostics.push(...line.diagnostics)
    if (line.case) tally.add(line.case)
  }
  return { report: tally.report(), diagnostics }
}
