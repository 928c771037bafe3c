import type { CodeLens, Connection } from "vscode-languageserver"
import { readCases } from "../../cases/record/read.ts"
import { indexGraph } from "../../cases/replay/graph-index.ts"
import { type Use, usesOf } from "../../cases/report/line-uses.ts"
import { Tally } from "../../cases/report/tally.ts"
import type { Compiled } from "../../compile.ts"
import { underlined } from "../../diagnostics/underline.ts"
import type { Model } from "../../model/model.ts"
import { folderOf } from "../../model/relative-paths.ts"
import type { Graph } from "../../run/graph.ts"
import { countOf, fixedMoney, grouped } from "../../wording/figures.ts"
import { LARGEST_SOURCE, readText } from "../io/files.ts"
import { rangeOf } from "./positions.ts"
import type { Project } from "./project.ts"

/** States looked into, and cases replayed, before the editor is listened to again. */
const STRIDE = 100
const CASES_AT_ONCE = 50

/** What the plan of one version of the texts has shown. */
export interface Planned {
  readonly version: number
  readonly compiled: Compiled
  /** Cases behind each declaration; absent where no file of cases lies beside the ruleset. */
  readonly uses?: readonly Use[]
}

const breath = () => new Promise<void>((resolve) => setImmediate(resolve))

/**
 * Plans a project, and replays the cases beside it, with progress in the editor. Undefined where there is nothing to
 * plan, the text has changed meanwhile, or the user has stopped it.
 */
export async function plan(connection: Connection, project: Project): Promise<Planned | undefined> {
  const { version } = project
  const compiling = project.analyse()
  if (!compiling?.progress) return undefined
  const progress = await connection.window.createWorkDoneProgress()
  progress.begin(`Planning ${project.root.slice(folderOf(project.root).length)}`, undefined, "", true)
  const isOver = () => project.version !== version || progress.token.isCancellationRequested
  try {
    for (let done = compiling.progress.done; !done; ) {
      const now = compiling.advance(STRIDE)
      done = now?.done ?? true
      if (now) progress.report(`${grouped(now.expanded)} states`)
      await breath()
      if (isOver()) return undefined
    }
    const compiled = compiling.finish()
    const { graph, model } = compiled
    const uses = graph && model ? await usesBeside(project.root, graph, model, isOver) : undefined
    return isOver() ? undefined : { version, compiled, ...(uses ? { uses } : {}) }
  } finally {
    progress.done()
  }
}

/** Counts of the cases in `NAME.cases.jsonl` beside `NAME.ruleout`. */
async function usesBeside(
  root: string,
  graph: Graph,
  model: Model,
  isOver: () => boolean,
): Promise<Use[] | undefined> {
  const text = casesBeside(root)
  if (text === undefined) return undefined
  const index = indexGraph(graph)
  const tally = new Tally(index)
  let seen = 0
  for (const line of readCases(text, index.graph)) {
    if (line.case) tally.add(line.case)
    if (++seen % CASES_AT_ONCE > 0) continue
    await breath()
    if (isOver()) return undefined
  }
  const spans = (declared: readonly { readonly span: Use["span"] }[]) => declared.map(({ span }) => span)
  const places = { rules: spans(model.rules), tests: spans(model.tests), faults: spans(model.faults) }
  return usesOf(tally.report(), places)
}

function casesBeside(root: string): string | undefined {
  try {
    return readText(root.replace(/\.ruleout$/, ".cases.jsonl"), LARGEST_SOURCE)
  } catch {
    // There need not be any.
    return undefined
  }
}

const did: Record<Use["of"], string> = {
  rule: "ruled something out in",
  test: "done in",
  fault: "confirmed in",
}

/** Above each declaration the cases behind it, above the ruleset what a job costs. */
export function lensesOf(project: Project, file: string, { compiled, uses = [] }: Planned): CodeLens[] {
  const lines = project.lines(file)
  const lens = (span: Use["span"], title: string): CodeLens[] =>
    span.file === file
      ? [{ range: rangeOf(lines, underlined(lines.text, span)), command: { title, command: "" } }]
      : []
  const { graph, model } = compiled
  const cost = graph ? `${fixedMoney(graph.expected.total, graph.money)} a job, ${proofOf(graph)}` : ""
  return [
    ...(graph && model ? lens(model.ruleset.span, cost) : []),
    ...uses.flatMap((use) => lens(use.span, `${did[use.of]} ${countOf(use.cases, "case")}`)),
  ]
}

function proofOf({ expected, proof, money }: Graph): string {
  return proof.exact
    ? "proved best"
    : `at most ${fixedMoney(expected.total - proof.lower, money)} above the best`
}
