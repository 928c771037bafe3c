/** Reads a ruleset with the files that it uses, and compiles it. */
import { realpathSync, statSync } from "node:fs"
import { dirname, isAbsolute, relative, sep } from "node:path"
import { type Analysis, type AnalysisOptions, analyse, type Compiled, startCompile } from "../../compile.ts"
import { LARGEST_PICTURE } from "../../model/pictures/check-picture.ts"
import type { PlanOptions } from "../../plan/plan.ts"
import { amountText, grouped } from "../../wording/figures.ts"
import { displayName, LARGEST_SOURCE, readError, readStart, readText, withSlashes } from "./files.ts"
import { ProgressLine } from "./terminal.ts"
import { UserError } from "./user-error.ts"

/**
 * Gives the text of a ruleset (read now, unless it is given) and then of the files that it uses. A used file that does
 * not exist is undefined: the compiler reports it where it is used.
 */
export function sourceReader(root: string, text?: string): (path: string) => string | undefined {
  const first = text ?? rulesetText(root)
  let isRead = false
  return (path) => {
    if (!isRead) {
      isRead = true
      return first
    }
    return readUsed(path, root)
  }
}

/** @throws UserError where it is a graph: every character of it would be reported */
function rulesetText(path: string): string {
  const text = readText(path, LARGEST_SOURCE)
  if (!/^\s*\{/.test(text) || !text.includes('"ruleout-graph/')) return text
  throw new UserError(
    `${displayName(path)} is a compiled graph, not a ruleset.`,
    "Name the ruleset that it was compiled from. `bench`, `replay` and `ship` take a graph.",
  )
}

/** The text of a file that a ruleset uses, undefined where there is none. @throws UserError if it can't be read */
export function readUsed(path: string, root: string): string | undefined {
  return ifThere(() => {
    keepInside(path, root)
    return readText(path, LARGEST_SOURCE)
  })
}

function ifThere<T>(read: () => T): T | undefined {
  try {
    return read()
  } catch (error) {
    if (error instanceof UserError && error.code === "no-such-file") return undefined
    throw error
  }
}

/** Gives the bytes of the pictures that a ruleset names, with the same guard; the check of a picture knows its limits. */
export function pictureReader(root: string): (path: string) => Uint8Array | undefined {
  return (path) =>
    ifThere(() => {
      keepInside(path, root)
      return readStart(path, LARGEST_PICTURE + 1)
    })
}

/**
 * A ruleset from a stranger may come with links of his: what it uses has to lie in its own folder, wherever the path
 * leads, and be a file.
 *
 * @throws UserError if not, or if there is none
 */
function keepInside(path: string, root: string): void {
  let real: string
  try {
    real = realpathSync(path)
    const folder = realpathSync(root === "-" ? "." : dirname(root))
    const way = relative(folder, real)
    if (way === ".." || way.startsWith(`..${sep}`) || isAbsolute(way))
      throw new UserError(
        `${displayName(path)} is a link that leads out of the folder of ${displayName(root)}.`,
        "Put the file itself into that folder.",
      )
    if (!statSync(real).isFile() && !statSync(real).isDirectory())
      throw new UserError(`${displayName(path)} isn't a file.`, "A ruleset uses files only.")
  } catch (error) {
    throw error instanceof UserError ? error : readError(path, error)
  }
}

/** Reads and checks a ruleset, without a plan. */
export function analyseFile(file: string, options: AnalysisOptions = {}): Analysis {
  return analyse(withSlashes(file), sourceReader(file), { ...options, readPicture: pictureReader(file) })
}

/** States expanded between two updates of the progress line. */
const STRIDE = 500

/** Compiles a ruleset. Progress goes to standard error, if that is a terminal. */
export function compileFile(file: string, options: PlanOptions & AnalysisOptions, text?: string): Compiled {
  const readPicture = pictureReader(file)
  const compiling = startCompile(withSlashes(file), sourceReader(file, text), { ...options, readPicture })
  const progress = new ProgressLine()
  for (let done = compiling.progress?.done ?? true; !done; ) {
    const now = compiling.advance(STRIDE)
    done = now?.done ?? true
    if (now && !done)
      progress.show(
        `planning: at most ${amountText(now.upper)} a job, at least ${amountText(now.lower)}, ${grouped(now.expanded)} states`,
      )
  }
  progress.clear()
  return compiling.finish({ hasTime: true })
}
