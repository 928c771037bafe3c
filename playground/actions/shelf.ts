import { effect, signal, untracked } from "@preact/signals"
import type { Compiled } from "../plan-state.ts"
import { asProject } from "../share.ts"
import { compiled, say } from "../state.ts"
import { type OnShelf, storedValue, storeValue } from "../store.ts"
import { beginOn } from "./bench.ts"
import { keepGraph, keptGraph } from "./kept-graphs.ts"
import { openInstead } from "./text.ts"

/** The rulesets of this browser, side by side: each with its text and its last finished graph. */

const MOST = 12

/** The last one that was planned is the first. */
export const shelf = signal<readonly OnShelf[]>([])

export async function startShelf(): Promise<void> {
  const kept = await storedValue("shelf")
  if (Array.isArray(kept)) shelf.value = kept.filter(({ project }) => asProject(project) !== undefined)
  effect(() => {
    const made = compiled.value
    if (made?.final) untracked(() => put(made))
  })
}

/** A newer text of a ruleset takes the place of the older one. */
function put({ graph, text, project }: Compiled): void {
  const { name, title, version, source } = graph.ruleset
  const others = shelf.peek().filter((each) => each.name !== name)
  shelf.value = [{ name, title, version, source, project }, ...others].slice(0, MOST)
  keepGraph(graph, text)
  void storeValue("shelf", shelf.value)
}

/** A new job on one of them; the text at hand stays. */
export async function beginJob({ source, title }: OnShelf): Promise<void> {
  const graph = await keptGraph(source)
  if (graph) beginOn(graph)
  else say(`The graph of ${title} isn't here any more. Open its text first.`, { bad: true })
}

export function openText({ project, title }: OnShelf): void {
  openInstead(project, `Opened ${title}.`)
}
