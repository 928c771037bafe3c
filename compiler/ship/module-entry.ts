/** What a shipped module exports; bundled with the runner by `playground/build/bundle-parts.ts`, never imported. */
import type { Graph } from "../run/graph.ts"
import { open, type Session } from "../run/index.ts"

declare const RULEOUT_GRAPH: string

/** The compiled graph that this module runs. */
export const graph: Graph = JSON.parse(RULEOUT_GRAPH)

/** A job in which nothing has been found yet. */
export function start(): Session {
  return open(graph)
}

export { convert, open, RunError } from "../run/index.ts"
