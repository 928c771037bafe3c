import { graphText } from "../graph/text.ts"
import type { Graph } from "../run/graph.ts"
import { oneLine } from "./escaping.ts"

/**
 * One file of Python 3.9 or newer with the runner and the graph in it, the standard library only:
 *
 *     import kiosk_dark
 *     job = kiosk_dark.start()
 *
 * `runner` is the text of `python/runner.py`. The graph is a string literal of JSON, whose escapes are Python's too: its
 * texts are data, whatever they say. The same graph and runner give the same bytes.
 */
export function writePython(graph: Graph, runner: string): string {
  const { title, version, source } = graph.ruleset
  const [before = "", after] = runner.split('"RULEOUT_GRAPH"')
  if (after === undefined) throw new Error("the runner has no place for the graph")
  const heading = oneLine(`${title}, version ${version}, ${source}`)
  // Below the two lines in which a comment can say how the file is encoded (PEP 263).
  const top = `# Written by Ruleout.\n#\n# ${heading}\n\n`
  return `${top}${before}${JSON.stringify(graphText(graph))}${after}`
}
