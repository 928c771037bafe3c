import { sha256 } from "@noble/hashes/sha2.js"
import { bytesToHex, utf8ToBytes } from "@noble/hashes/utils.js"
import { check, checkPlan } from "./check/check.ts"
import type { ProofCache } from "./check/proof-cache.ts"
import { Collector } from "./diagnostics/collector.ts"
import { type Diagnostic, inOrder } from "./diagnostics/diagnostic.ts"
import { writeGraph } from "./graph/write.ts"
import { bind } from "./model/bind.ts"
import { load } from "./model/load.ts"
import type { Model } from "./model/model.ts"
import type { LoadedPictures, ReadPicture } from "./model/pictures/load-pictures.ts"
import { type Scenario, withoutScenarios } from "./model/scenario.ts"
import { LIMIT_CODES } from "./plan/codes.ts"
import { beyondLimits } from "./plan/limits.ts"
import type { Plan, Planner, PlanOptions, Progress } from "./plan/plan.ts"
import { makePlanner } from "./plan/planner.ts"
import { checkGraph } from "./run/check.ts"
import { RunError } from "./run/error.ts"
import type { Graph } from "./run/graph.ts"
import { ShapeError } from "./run/shape.ts"
import type { Tree } from "./syntax/syntax-tree.ts"
import { VERSION } from "./version.ts"

/** Gives the text of a file, or undefined where there is none; `path` has `/` between folders. */
export type Read = (path: string) => string | undefined

export interface Analysis {
  readonly diagnostics: readonly Diagnostic[]
  readonly trees: readonly Tree[]
  /** Text of every file that was read, by path. */
  readonly sources: ReadonlyMap<string, string>
  readonly pictures: LoadedPictures
  /** Absent where an error leaves the ruleset without meaning. */
  readonly model?: Model
  /** What the author expects of the plan; none where there is no model. */
  readonly scenarios: readonly Scenario[]
}

export interface Compiled extends Analysis {
  readonly plan?: Plan
  readonly graph?: Graph
}

export interface AnalysisOptions {
  /** Keeps proofs from one run to the next while somebody types. */
  readonly proofs?: ProofCache
  /** Look for gaps between rules although faults have `shows`. */
  readonly gaps?: boolean
  /** Reads the pictures that the ruleset names; without it, none is there. */
  readonly readPicture?: ReadPicture
  /** Files with texts in other languages, beside those that the ruleset uses itself. */
  readonly texts?: readonly string[]
}

/** parse → bind → check. Never throws for what a ruleset says; every problem is a diagnostic. */
export function analyse(path: string, read: Read, options: AnalysisOptions = {}): Analysis {
  const { readPicture = noPicture, texts } = options
  const { trees, sources, pictures, diagnostics: parsed } = load(path, read, readPicture, texts)
  const { model, scenarios, diagnostics: bound } = bind(trees, sources, pictures)
  const checked = model ? [...check(model, undefined, options), ...beyondLimits(model)] : []
  const diagnostics = inOrder([...parsed, ...bound, ...checked])
  return { diagnostics, trees, sources, pictures, scenarios, ...(model ? { model } : {}) }
}

function noPicture(): undefined {}

/** parse → bind → check → plan → check the plan → write, in one call. */
export function compile(path: string, read: Read, options: PlanOptions & AnalysisOptions = {}): Compiled {
  const compiling = startCompile(path, read, options)
  compiling.advance(Number.POSITIVE_INFINITY)
  return compiling.finish({ hasTime: true })
}

/**
 * A compilation that is planned bit by bit, so that its host can show progress and stop. The diagnostics of the analysis
 * are there at once; planning begins when its progress is asked for.
 */
export interface Compiling extends Analysis {
  /** Absent where there is nothing to plan because of errors. */
  readonly progress: Progress | undefined
  /** Looks into about so many more states. */
  advance(expansions: number): Progress | undefined
  /** The best graph so far. `hasTime`: for codes that take plans of their own, which nobody waits for while typing. */
  finish(options?: { readonly hasTime?: boolean }): Compiled
  /** A graph to begin with while the search goes on: not checked, without second-best actions and `unavoidable` (0). */
  draft(): { readonly plan: Plan; readonly graph: Graph } | undefined
}

/** Plans of the codes get so much of the effort that the plan took, each. */
const SHARE_OF_CODES = 1 / 50
const LEAST_OF_CODES = 60

export function startCompile(
  path: string,
  read: Read,
  options: PlanOptions & AnalysisOptions = {},
): Compiling {
  const analysis = analyse(path, read, options)
  const { model } = analysis
  const sound = model && !analysis.diagnostics.some((f) => f.severity === "error")
  let begun: Planner | undefined
  const planner = () => {
    if (sound) begun ??= makePlanner(model, options)
    return begun
  }
  const write = (model: Model, plan: Plan) =>
    writeGraph(model, plan, { source: digest(analysis), compiler: VERSION })
  return {
    ...analysis,
    get progress() {
      return planner()?.progress
    },
    advance: (expansions) => planner()?.advance(expansions),
    draft() {
      const plan = planner()?.draft()
      return model && plan && { plan, graph: write(model, plan) }
    },
    finish({ hasTime = false } = {}) {
      const planned = planner()
      const plan = planned?.plan()
      if (!model || !planned || !plan) return analysis
      const { expanded } = planned.progress
      const cannot = hasTime ? Math.max(LEAST_OF_CODES, Math.round(expanded * SHARE_OF_CODES)) : 0
      const graph = write(model, plan)
      const refused = refusal(graph, model)
      const diagnostics = inOrder([
        ...analysis.diagnostics,
        ...checkPlan(model, plan, { cannot }),
        ...refused,
      ])
      return refused.length > 0
        ? { ...analysis, diagnostics, plan }
        : { ...analysis, diagnostics, plan, graph }
    },
  }
}

/** A graph that no runner would open is none: its limits, and those of what is written, are the runner's to say. */
function refusal(graph: Graph, { complaint: { span } }: Model): readonly Diagnostic[] {
  try {
    checkGraph(graph)
    return []
  } catch (error) {
    if (!(error instanceof RunError)) throw error
    const place = error.cause instanceof ShapeError ? error.cause.path : "graph"
    const report = new Collector(LIMIT_CODES)
    report.say("too-large", span, `A runner would refuse the graph of this ruleset, at \`${place}\`.`, {
      help: "Is a number or a count in it far too large? If not, divide the ruleset.",
    })
    return report.diagnostics
  }
}

/**
 * Content digest of a ruleset without its scenarios: its files in the order of use, each with its length before it,
 * then the digests of its pictures.
 */
function digest({ sources, trees, model }: Analysis): string {
  const texts = [...sources].map(([file, text]) => {
    const tree = trees.find((each) => each.file === file)
    return (tree ? withoutScenarios(text, tree) : text).replaceAll("\r\n", "\n")
  })
  const pictures = (model?.pictures ?? []).map(({ digest }) => `${digest}\n`)
  const all = [...texts.map((text) => `${text.length}\n${text}`), ...pictures].join("")
  return `sha256:${bytesToHex(sha256(utf8ToBytes(all)))}`
}

export type { ProofCache } from "./check/proof-cache.ts"
export type * from "./diagnostics/diagnostic.ts"
export { inLanguage, languageFor, languagesOf } from "./graph/in-language.ts"
export { graphText } from "./graph/text.ts"
export type * from "./model/model.ts"
export type { ReadPicture } from "./model/pictures/load-pictures.ts"
export type { FaultIs, Scenario, ScenarioStep } from "./model/scenario.ts"
export type * from "./plan/plan.ts"
export type { Graph } from "./run/graph.ts"
export type * as syntax from "./syntax/syntax-tree.ts"
export type { Tree } from "./syntax/syntax-tree.ts"
export { VERSION } from "./version.ts"
