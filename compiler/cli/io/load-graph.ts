/** Graphs as the commands take them: from a file, or compiled from a ruleset. */
import type { PlanOptions } from "../../plan/plan.ts"
import { type Graph, open, RunError } from "../../run/index.ts"
import { compileFile } from "./compile-file.ts"
import { displayName, LARGEST_GRAPH, readText } from "./files.ts"
import { type PictureFiles, picturesBeside, picturesOfRuleset } from "./picture-files.ts"
import { printDiagnostics } from "./print-diagnostics.ts"
import { readJson } from "./read-json.ts"
import { checkSeal, checkVersion, type SealPolicy } from "./seal-policy.ts"
import { err, plain } from "./terminal.ts"
import { UserError } from "./user-error.ts"

/**
 * A graph from its file, or compiled from a ruleset; undefined if that has errors, which are printed.
 *
 * @throws UserError if it isn't a graph that can be run, if it has a seal that doesn't hold, or isn't what is trusted
 */
export async function loadGraph(
  file: string,
  options: PlanOptions,
  policy: SealPolicy = {},
): Promise<Graph | undefined> {
  return (await loadPictured(file, options, policy))?.graph
}

/** A graph, and where its pictures are. */
export interface PicturedGraph {
  readonly graph: Graph
  readonly pictures: PictureFiles
}

/** As `loadGraph`, with the pictures. @throws UserError as it does */
export async function loadPictured(
  file: string,
  options: PlanOptions,
  policy: SealPolicy = {},
): Promise<PicturedGraph | undefined> {
  const text = readText(file, LARGEST_GRAPH)
  if (isObject(text)) return { graph: await trustedGraph(file, text, policy), pictures: picturesBeside(file) }
  if (/\.json$/i.test(file))
    throw new UserError(`${displayName(file)} isn't a graph: it doesn't begin with \`{\`.`)
  if (policy.key !== undefined)
    throw new UserError(
      `${displayName(file)} is a ruleset, and only graphs are signed.`,
      "Name the signed graph, or leave out --key.",
    )
  const compiled = compileFile(file, options, text)
  const { diagnostics, sources, graph } = compiled
  // Warnings are for `check` and `compile`: here a job or its records are at hand.
  printDiagnostics(
    diagnostics.filter(({ severity }) => severity === "error"),
    sources,
  )
  if (graph === undefined) {
    err(`${plain(displayName(file))} can't be run: fix the errors first.\n`)
    return undefined
  }
  checkVersion(file, graph, policy)
  return { graph, pictures: picturesOfRuleset(compiled) }
}

/** A compiled graph from its file. @throws UserError as `loadGraph` does, and for a ruleset */
export async function readGraph(file: string, policy: SealPolicy): Promise<Graph> {
  const text = readText(file, LARGEST_GRAPH)
  if (!isObject(text))
    throw new UserError(
      `${displayName(file)} isn't a compiled graph.`,
      "Compile the ruleset, and name the graph.",
    )
  return trustedGraph(file, text, policy)
}

function isObject(text: string): boolean {
  return /^\ufeff?\s*\{/.test(text)
}

async function trustedGraph(file: string, text: string, policy: SealPolicy): Promise<Graph> {
  const graph = parseGraph(file, text)
  await checkSeal(file, graph, policy)
  return graph
}

/** @throws UserError if the text isn't a graph that can be run. */
export function parseGraph(file: string, text: string): Graph {
  const document = readJson(file, text)
  try {
    open(document)
  } catch (error) {
    if (error instanceof RunError)
      throw new UserError(
        `${displayName(file)}: ${error.message}`,
        hintFor(document as { format?: unknown } | null),
      )
    throw error
  }
  return document as Graph
}

const GRAPH_FORMAT: Graph["format"] = "ruleout-graph/2"

/** A graph of another format isn't damaged: the way to one that can be run is its ruleset. */
function hintFor(document: { format?: unknown } | null): string | undefined {
  const format = document?.format
  if (typeof format !== "string" || !/^ruleout-graph\/\d{1,6}$/.test(format) || format === GRAPH_FORMAT)
    return undefined
  return "If you have the ruleset, name it instead of the graph. Recorded cases stay as they are."
}
