import type { Progress } from "../../compiler/plan/plan.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import type { Sources } from "../graph/sources.ts"
import type { Project } from "./project.ts"

/** Where the analysis and the plan of the text now shown are. */
export type PlanState =
  | { readonly kind: "idle" }
  /** The text has errors; nothing is planned. */
  | { readonly kind: "blocked" }
  /** The page crashed when it analysed this before; it waits to be asked. */
  | { readonly kind: "held" }
  | { readonly kind: "checking" }
  /** The compiler itself failed, which no text should cause; the message is for a bug report. */
  | { readonly kind: "failed"; readonly message: string }
  | { readonly kind: "planning"; readonly progress: Progress }
  /** The search is over; its plan is being written as a graph. */
  | { readonly kind: "writing" }
  | { readonly kind: "ready" }
  /** Stopped by the user: the plan shown is the best so far. */
  | { readonly kind: "stopped" }
  /** The plan has more nodes than a page can hold and draw. */
  | { readonly kind: "large"; readonly nodes: number }

/** Whether a result is on its way. */
export const isUnderWay = ({ kind }: PlanState) =>
  kind === "checking" || kind === "planning" || kind === "writing"

/** What could be done in place of a step, and how much more a job then costs from there on. */
export interface Alternative {
  readonly title: string
  readonly dearer: number
}

export interface Compiled {
  readonly version: number
  /** False while the search goes on and a better plan may follow. */
  readonly final: boolean
  /** The text that it was made from. */
  readonly project: Project
  readonly graph: Graph
  /** The document as it ships, byte for byte. */
  readonly text: string
  /** The pictures of the graph as addresses that hold them, by digest. */
  readonly pictures: Readonly<Record<string, string>>
  readonly sources: Sources
  /** By node of the graph: why this is the step, in words; undefined where few jobs come or nothing is to be said. */
  readonly reasons: readonly (string | undefined)[]
  /** By node of the graph; undefined where nothing else was tried. */
  readonly instead: readonly (Alternative | undefined)[]
}

/** Graphs with more nodes need the command line. */
export const MAX_NODES = 20_000
