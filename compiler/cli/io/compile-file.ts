/** Reads a ruleset with the files that it uses, and compiles it. */
import { type AnalysisOptions, type Compiled, startCompile } from "../../compile.ts"
import type { PlanOptions } from "../../plan/plan.ts"
import { amountText, grouped } from "../../wording/figures.ts"
import { largestSource, readText, withSlashes } from "./files.ts"
import { ProgressLine } from "./terminal.ts"
import { UserError } from "./user-error.ts"

/**
 * Gives the text of a ruleset (read now, unless it is given) and then of the files that it uses. A used file that does
 * not exist is undefined: the compiler reports it where it is used.
 */
export function sourceReader(root: string, text?: string): (path: string) => string | undefined {
  const first = text ?? readText(root, largestSource)
  let isRead = false
  return (path) => {
    if (!isRead) {
      isRead = true
      return first
    }
    try {
      return readText(path, largestSource)
    } catch (error) {
      if (error instanceof UserError && error.code === "no-such-file") return undefined
      throw error
    }
  }
}

/** States expanded between two updates of the progress line. */
const stride = 500

/** Compiles a ruleset. Progress goes to standard error, if that is a terminal. */
export function compileFile(file: string, options: PlanOptions & AnalysisOptions, text?: string): Compiled {
  const compiling = startCompile(withSlashes(file), sourceReader(file, text), options)
  const progress = new ProgressLine()
  for (let done = compiling.progress?.done ?? true; !done; ) {
    const now = compiling.advance(stride)
    done = now?.done ?? true
    if (now && !done)
      progress.show(
        `planning: at most ${amountText(now.upper)} a job, at least ${amountText(now.lower)}, ${grouped(now.expanded)} states`,
      )
  }
  progress.clear()
  return compiling.finish({ hasTime: true })
}
