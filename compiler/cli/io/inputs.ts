/** Rulesets and graphs as the commands take them. */
import { type Command, InvalidArgumentError } from "commander"
import { flaw } from "../../cases/record/json-locations.ts"
import { type Compiled, startCompile } from "../../compile.ts"
import { lineAndColumn } from "../../diagnostics/render.ts"
import type { PlanOptions } from "../../plan/plan.ts"
import { type Graph, open, RunError } from "../../run/index.ts"
import { largestGraph, largestSource, nameOf, readText, slashed } from "./files.ts"
import { sayFindings } from "./report-diagnostics.ts"
import { err, ProgressLine, plain } from "./terminal.ts"
import { Trouble } from "./user-error.ts"

export interface Effort {
  readonly effort?: number
  readonly gap?: number
  readonly mass?: number
}

export function effortOptions(command: Command): Command {
  return command
    .option("--effort <n>", "how many states to look into at most", whole)
    .option("--gap <percent>", "stop when the cost is proved this close to the least, like 5%", share)
    .option("--mass <percent>", "leave branches less likely than this to the runner, like 0.01%", share)
}

export function effortOf({ effort, gap, mass }: Effort): PlanOptions {
  return {
    ...(effort === undefined ? {} : { effort }),
    ...(gap === undefined ? {} : { gap }),
    ...(mass === undefined ? {} : { mass }),
  }
}

function whole(text: string): number {
  const n = Number(text)
  if (!Number.isSafeInteger(n) || n < 1) throw new InvalidArgumentError("It is a whole number from 1.")
  return n
}

/** `5%`, `5 %` or `5`: always of a hundred. */
export function share(text: string): number {
  const percent = /^(\d+\.?\d*|\.\d+)\s*%?$/.exec(text.trim())?.[1]
  if (percent === undefined || Number(percent) > 100)
    throw new InvalidArgumentError("It is a percentage from 0 to 100.")
  return Number(percent) / 100
}

/** Reads a ruleset (unless its text is given) and what it uses; a used file that is not there is the compiler's to say. */
export function reader(root: string, text?: string): (path: string) => string | undefined {
  const first = text ?? readText(root, largestSource)
  let asked = false
  return (path) => {
    if (!asked) {
      asked = true
      return first
    }
    try {
      return readText(path, largestSource)
    } catch (problem) {
      if (problem instanceof Trouble && problem.message.startsWith("There is no file")) return undefined
      throw problem
    }
  }
}

/** States looked into between two looks at the clock. */
const stride = 500

/** Compiles a ruleset. Progress goes to a terminal's standard error. */
export function planned(file: string, options: PlanOptions, text?: string): Compiled {
  const compiling = startCompile(slashed(file), reader(file, text), options)
  const progress = new ProgressLine()
  for (let done = compiling.progress?.done ?? true; !done; ) {
    const now = compiling.advance(stride)
    done = now?.done ?? true
    if (now && !done)
      progress.show(
        `planning: cost at most ${now.upper.toFixed(2)}, at least ${now.lower.toFixed(2)}, ${now.expanded.toLocaleString("en")} states`,
      )
  }
  progress.clear()
  return compiling.finish()
}

/** A graph from its file, or compiled from a ruleset; undefined where that has errors, which have been said. */
export function graphOf(file: string, options: PlanOptions): Graph | undefined {
  const text = readText(file, largestGraph)
  if (/^\ufeff?\s*\{/.test(text)) return graphIn(file, text)
  if (/\.json$/i.test(file)) throw new Trouble(`${nameOf(file)} is no graph: it does not begin with \`{\`.`)
  const { diagnostics, sources, graph } = planned(file, options, text)
  // Warnings are for `check` and `compile`: here a job or its records are at hand.
  sayFindings(
    diagnostics.filter(({ severity }) => severity === "error"),
    sources,
  )
  if (graph === undefined) err(`${plain(nameOf(file))} cannot be run: mend the errors first.\n`)
  return graph
}

/** @throws Trouble where that is no graph that can be run. */
export function graphIn(file: string, text: string): Graph {
  let document: unknown
  try {
    document = JSON.parse(text.replace(/^\ufeff/, ""))
  } catch {
    const { at, says } = flaw(text.replace("\ufeff", " ")) ?? { at: 0, says: "it cannot be read" }
    const { line } = lineAndColumn(text, at)
    throw new Trouble(`${nameOf(file)} is not JSON: in line ${line} ${says}.`, "Compile the ruleset again.")
  }
  try {
    open(document)
  } catch (problem) {
    if (problem instanceof RunError)
      throw new Trouble(`${nameOf(file)}: ${problem.message}`, wayOn(document as { format?: unknown } | null))
    throw problem
  }
  return document as Graph
}

/** A graph of another format is none that was damaged: its ruleset is the way to one that can be run. */
function wayOn(document: { format?: unknown } | null): string | undefined {
  const format = document?.format
  if (typeof format !== "string" || !/^ruleout-graph\/\d{1,6}$/.test(format) || format === "ruleout-graph/1")
    return undefined
  return `It is a \`${format}\`. Name the ruleset instead, this compiler makes a graph of it again; recorded cases stay as they are.`
}
