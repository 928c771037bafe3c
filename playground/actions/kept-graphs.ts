import type { Graph } from "../../compiler/run/graph.ts"
import { picturesIn } from "../../compiler/ship/pictures.ts"
import { keepPictures, pictureAddresses } from "../bench/pictures.tsx"
import { storedGraph, storedPictures, storeGraph, storePictures } from "../state/store.ts"

/** The graphs that this browser keeps, each with its pictures: a job goes on with them when the text has others. */

/** `text`: the graph as it is written, where that is known. */
export function keepGraph(graph: Graph, text = JSON.stringify(graph)): void {
  const { source } = graph.ruleset
  void storeGraph(source, text)
  const own = picturesIn(graph).map(({ digest }) => [digest, pictureAddresses.peek()[digest]])
  if (own.length > 0) void storePictures(source, JSON.stringify(Object.fromEntries(own)))
}

export async function keptGraph(source: string): Promise<Graph | undefined> {
  const text = await storedGraph(source)
  if (text === undefined) return undefined
  keepPictures(JSON.parse((await storedPictures(source)) ?? "{}"))
  return JSON.parse(text) as Graph
}
