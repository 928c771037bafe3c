import type { Signal } from "@preact/signals"
import type { Graph } from "../../compiler/run/graph.ts"
import { percent } from "../ui/figures.ts"
import { nodeOf, nodeTitle } from "./labels.ts"
import { type NodeFigures, reachOf } from "./node-figures.ts"
import { matchIn } from "./sources.ts"

interface Props {
  readonly graph: Graph
  readonly figures: NodeFigures
  readonly query: Signal<string>
  /** In the order in which they are gone through, the likeliest first. */
  readonly hits: readonly number[]
  readonly chosen: number
  readonly onChoose: (node: number, bring: boolean) => void
}

const SHOWN = 100

/** Looks for steps, readings and faults: how many there are, which one is shown, and why each was found. */
export function Search({ graph, figures, query, hits, chosen, onChoose }: Props) {
  const at = hits.indexOf(chosen)
  const isAsked = query.value.trim() !== ""
  const step = (by: number) => {
    const next = hits[at < 0 ? (by > 0 ? 0 : hits.length - 1) : (at + by + hits.length) % hits.length]
    if (next !== undefined) onChoose(next, true)
  }
  return (
    <search class="graph-search">
      <form
        class="row"
        onSubmit={(event) => {
          event.preventDefault()
          step(1)
        }}
      >
        <label class="unseen" for="graph-search">
          Search steps, readings, faults
        </label>
        <input
          id="graph-search"
          type="search"
          placeholder="Search steps, faults…"
          value={query}
          onInput={(event) => {
            query.value = event.currentTarget.value
          }}
        />
        {hits.length > 0 && (
          <>
            <button type="button" class="tool previous" onClick={() => step(-1)}>
              Previous
            </button>
            <button type="submit" class="tool">
              Next
            </button>
          </>
        )}
        <span class="small quiet" role="status">
          {isAsked && (at < 0 ? `${hits.length} found` : `${at + 1} of ${hits.length}`)}
        </span>
      </form>
      {isAsked && hits.length > 0 && (
        <details class="hits">
          <summary class="small">List</summary>
          <ol>
            {hits.slice(0, SHOWN).map((hit) => (
              <li key={hit}>
                <button
                  type="button"
                  class="tool"
                  aria-current={hit === chosen ? "true" : undefined}
                  onClick={(event) => {
                    foldList(event.currentTarget)
                    onChoose(hit, true)
                  }}
                >
                  {nodeTitle(graph, nodeOf(graph, hit))}
                  <span class="small quiet">
                    {percent(reachOf(figures, hit))} of jobs
                    {whyText(matchIn(graph, hit, query.value))}
                  </span>
                </button>
              </li>
            ))}
          </ol>
          {hits.length > SHOWN && <p class="small quiet">and {hits.length - SHOWN} more</p>}
        </details>
      )}
    </search>
  )
}

const whyText = (name: string | undefined) => (name === undefined ? "" : ` · because of ${name}`)

/** The list lies over the outline: once something was chosen from it, it makes room. */
function foldList(button: HTMLElement): void {
  const list = button.closest("details")
  if (list) list.open = false
  list?.querySelector("summary")?.focus()
}
