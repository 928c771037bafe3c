import type { Words } from "../../wording/words.ts"
import type { PicturedGraph } from "../io/load-graph.ts"
import type { Style } from "../io/terminal.ts"

/** What a job is shown with at the terminal: its graph, in which words, in which colours. */
export interface Screen extends PicturedGraph {
  readonly words: Words
  readonly paint: Style
}
