import { effect, signal, untracked } from "@preact/signals"
import { asProject } from "../share/share.ts"
import type { Compiled } from "../state/plan-state.ts"
import { compiled, say } from "../state/state.ts"
import {
  dropFromShelf,
  dropValue,
  type OnShelf,
  storedShelf,
  storedValue,
  storeOnShelf,
} from "../state/store.ts"
import { beginOn } from "./bench.ts"
import { keepGraph, keptGraph } from "./kept-graphs.ts"
import { openInstead } from "./text.ts"

/** The rulesets of this browser, side by side: each with its text and its last finished graph. */

const MOST = 12

/** The last one that was planned is the first. */
export const shelf = signal<readonly OnShelf[]>([])

export async function startShelf(): Promise<void> {
  await takeOver()
  shelf.value = (await storedShelf()).filter(({ project }) => asProject(project) !== undefined)
  effect(() => {
    const made = compiled.value
    if (made?.final) untracked(() => put(made))
  })
}

/** Older versions of this page kept all of it in one piece. */
async function takeOver(): Promise<void> {
  const old = await storedValue("shelf")
  if (!Array.isArray(old)) return
  for (const [i, each] of old.entries()) await storeOnShelf({ ...each, at: -i })
  await dropValue("shelf")
}

/** A newer text of a ruleset takes the place of the older one. */
function put({ graph, text, project }: Compiled): void {
  const { name, title, version, source } = graph.ruleset
  const own = { name, title, version, source, project, at: Date.now() }
  const others = shelf.peek().filter((each) => each.name !== name)
  shelf.value = [own, ...others].slice(0, MOST)
  keepGraph(graph, text)
  void storeOnShelf(own)
  for (const each of others.slice(MOST - 1)) void dropFromShelf(each.name)
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
