import { USUAL_LANGUAGE } from "../model/language-tag.ts"
import type { Graph } from "../run/graph.ts"
import { bestLanguage } from "../wording/best-language.ts"

/** Fields of a graph that are shown and decide nothing, and those on the way to them. */
const SHOWN = new Set([
  ..."ruleset complaint places faults readings tests rules proofs takes cells pictures".split(" "),
  ..."title text label remedy question instruction needs cautions because".split(" "),
])

/** The languages that a graph can be shown in, its own first. It is asked before a stranger's graph is checked. */
export function languagesOf(graph: Graph): readonly string[] {
  const others = Array.isArray(graph.languages) ? graph.languages : []
  return [graph.ruleset?.language ?? USUAL_LANGUAGE, ...others.map((each) => String(each?.language))]
}

/** The language of a graph that suits best, of some tags in the order of preference; undefined if none does. */
export function languageFor(graph: Graph, wanted: readonly string[]): string | undefined {
  return bestLanguage(languagesOf(graph), wanted)
}

/**
 * The graph with its texts in a language that it has; what isn't translated stays as it is, and so does all that decides:
 * the same findings give the same steps and chances. It has no seal, since that is of the graph as it was written.
 */
export function inLanguage(graph: Graph, language: string): Graph {
  const texts = graph.languages?.find((each) => each?.language === language)
  if (texts === undefined) return graph
  const { seal: _, ...rest } = shown(graph, texts) as Graph
  return { ...rest, ruleset: { ...rest.ruleset, language } }
}

/** A value with the texts of another in the places that it has itself. A stranger's texts may be of any shape. */
function shown(value: unknown, texts: unknown): unknown {
  if (typeof value === "string") return typeof texts === "string" ? texts : value
  if (typeof value !== "object" || value === null || typeof texts !== "object" || texts === null) return value
  const at = texts as Readonly<Record<string, unknown>>
  if (Array.isArray(value)) return value.map((each, i) => shown(each, at[i]))
  return Object.fromEntries(
    Object.entries(value).map(([field, each]) => [
      field,
      SHOWN.has(field) && Object.hasOwn(at, field) ? shown(each, at[field]) : each,
    ]),
  )
}
