import { graphText } from "../graph/text.ts"
import type { Graph } from "../run/graph.ts"
import { oneLine, scriptData } from "./escaping.ts"

/** The runner bundled without imports, and its types as one file. `playground/build/bundle-parts.ts` makes them; the caller passes them in. */
export interface ModuleParts {
  /** Contains `RULEOUT_GRAPH` once, where the text of the graph goes. */
  readonly runner: string
  readonly types: string
}

/**
 * One ES module with the runner and the graph in it, no imports, for any ES2022 engine:
 *
 *     import { start } from "./kiosk_dark.mjs"
 *     let job = start()               // a Session of `ruleout/run`
 *
 * It exports `start`, `graph`, `open`, `convert` and `RunError`. The graph is parsed from JSON: its texts
 * are data, whatever they say. The same graph and parts give the same bytes.
 */
export function writeModule(graph: Graph, { runner }: Pick<ModuleParts, "runner">): string {
  const { title, version, source } = graph.ruleset
  // On one line, which ends the comment, and without a tag.
  const heading = oneLine(`${title}, version ${version}, ${source}`).replaceAll("<", "‹")
  // Escaped as in a page, so that the module can go into a script element too.
  const literal = JSON.stringify(scriptData(graphText(graph)))
  const [before = "", after] = runner.split("RULEOUT_GRAPH")
  if (after === undefined) throw new Error("the runner has no place for the graph")
  return `// ${heading}\n${before}${literal}${after}`
}

/** Types of the module, for a file `NAME.d.mts` beside it. */
export function writeModuleTypes({ types }: Pick<ModuleParts, "types">): string {
  return `${types}
/** The compiled graph that this module runs. */
export declare const graph: Graph
/** A job in which nothing has been found yet. */
export declare function start(): Session
`
}
