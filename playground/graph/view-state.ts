import { type Signal, signal } from "@preact/signals"
import type { Camera } from "./panzoom.ts"

/** How somebody left the graph of a ruleset: kept while they are at another station, and when a better plan comes. */
export interface GraphViewState {
  /** The least share of jobs that is drawn. */
  readonly least: Signal<number | undefined>
  readonly opened: Signal<ReadonlySet<number>>
  readonly query: Signal<string>
  /** Nodes unfolded in the outline; undefined until somebody folds or unfolds one. */
  readonly unfolded: Signal<ReadonlySet<number> | undefined>
  camera: Camera | undefined
}

/** Beside the picture, whatever the ruleset. */
export const isOutlineShown = signal(false)

/** Of the graph that was looked at last, so that coming back finds it as it was left. */
let kept: { readonly key: string; readonly state: GraphViewState } | undefined

/** `nodes`: another plan of the same ruleset has others, and nothing of the old ones holds for them. */
export function viewStateOf(source: string, nodes: number): GraphViewState {
  const key = `${source} ${nodes}`
  if (kept?.key !== key)
    kept = {
      key,
      state: {
        least: signal(undefined),
        opened: signal(new Set()),
        query: signal(""),
        unfolded: signal(undefined),
        camera: undefined,
      },
    }
  return kept.state
}
