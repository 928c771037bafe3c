import { playAll } from "../../compiler/cases/scenarios/play.ts"
import type { Span } from "../../compiler/diagnostics/diagnostic.ts"
import { bind } from "../../compiler/model/bind.ts"
import { load } from "../../compiler/model/load.ts"
import { type SavedStep, stepsOf } from "../bench/saved-job.ts"
import type { Project } from "../state/project.ts"
import { serve } from "./rpc.ts"

/** A scenario as it went: what isn't as expected, and what was done and found, for the bench. */
export interface PlayedScenario {
  readonly text: string
  readonly span: Span
  readonly failures: readonly { readonly span: Span; readonly message: string }[]
  readonly steps: readonly SavedStep[]
}

/** The scenarios of a text on its graph, as the command line plays them. */
function play({ root, files }: Project, graphText: string): PlayedScenario[] {
  const { trees, sources } = load(root, (path) => files[path])
  const graph = JSON.parse(graphText)
  return playAll(graph, bind(trees, sources).scenarios).map(({ scenario, failures, log }) => ({
    text: scenario.text,
    span: scenario.span,
    failures,
    steps: stepsOf(graph, { log }),
  }))
}

export const functions = { play }
serve(functions)
