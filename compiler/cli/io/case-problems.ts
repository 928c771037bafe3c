/** Problems of recorded cases as they stream by: the first are printed in full, the others counted. */
import type { CaseDiagnostic } from "../../cases/record/read.ts"
import type { Entry } from "../../cases/table/batch.ts"
import type { Diagnostic } from "../../diagnostics/diagnostic.ts"
import { countsText, diagnosticsText } from "./print-diagnostics.ts"
import { err, hasColor, style } from "./terminal.ts"
import { type Exit, exitOf } from "./user-error.ts"

const MOST = 200
const MOST_IN_JSON = 10_000

/** A diagnostic with the line that it is in, since the file is not kept. */
export interface CaseProblem {
  readonly diagnostic: CaseDiagnostic
  /** Absent for a row of a table, whose problems name row and column themselves. */
  readonly line?: { readonly text: string; readonly offset: number }
}

export function problemsOf({ diagnostics, source, offset }: Entry): CaseProblem[] {
  return diagnostics.map((diagnostic) => ({
    diagnostic,
    ...(typeof source === "string" ? { line: { text: source, offset } } : {}),
  }))
}

export class CaseProblems {
  readonly #kept: CaseProblem[] = []
  readonly #counts = { errors: 0, warnings: 0, notes: 0 }
  #all = 0

  add(problems: readonly CaseProblem[]): void {
    for (const problem of problems) {
      this.#all++
      this.#counts[`${problem.diagnostic.severity}s`]++
      if (this.#kept.length < MOST) this.#kept.push(apart(problem))
      else if (this.#kept.length < MOST_IN_JSON) this.#kept.push({ diagnostic: problem.diagnostic })
    }
  }

  get exit(): Exit {
    return exitOf(this.#counts)
  }

  /** For JSON; at most ten thousand. */
  get diagnostics(): CaseDiagnostic[] {
    return this.#kept.map(({ diagnostic }) => diagnostic)
  }

  /** With their places in the file, of which only those lines are there. */
  located(): { readonly diagnostics: readonly Diagnostic[]; readonly sources: ReadonlyMap<string, string> } {
    const texts: string[] = []
    for (const { diagnostic, line } of this.#kept) {
      while (texts.length < diagnostic.line) texts.push("")
      if (line !== undefined) texts[diagnostic.line - 1] = line.text
    }
    const starts = startsOf(texts)
    const diagnostics = this.#kept.map(({ diagnostic, line }) => {
      const { file, start, end } = diagnostic.span
      const from = starts[diagnostic.line - 1] ?? 0
      const shift = from - (line?.offset ?? 0)
      const span = line ? { file, start: start + shift, end: end + shift } : { file, start: from, end: from }
      return { ...diagnostic, span }
    })
    const files = new Set(diagnostics.map(({ span }) => span.file))
    return { diagnostics, sources: new Map([...files].map((file) => [file, texts.join("\n")])) }
  }

  /** To standard error. */
  say(): void {
    if (this.#all === 0) return
    const color = hasColor(process.stderr)
    for (const { diagnostic, line } of this.#kept.slice(0, MOST)) {
      // The renderer counts lines from the start of the file: blank ones stand for those before.
      const before = "\n".repeat(diagnostic.line - 1)
      const shift = before.length - (line?.offset ?? 0)
      const { file, start, end } = diagnostic.span
      const span = { file, start: start + shift, end: end + shift }
      const sources = new Map(line === undefined ? [] : [[file, before + line.text]])
      err(`${diagnosticsText([{ ...diagnostic, span }], sources, color)}\n`)
    }
    if (this.#all > MOST) err(`and ${this.#all - MOST} more.\n`)
    const { warn } = style(color)
    err(
      `${warn(`${countsText(this.#counts)} in the cases, see above. What couldn't be read was left out.`)}\n`,
    )
  }
}

/** A line cut out of a batch keeps all of the batch in memory; a copy keeps itself. */
function apart({ diagnostic, line }: CaseProblem): CaseProblem {
  if (line === undefined) return { diagnostic }
  return { diagnostic, line: { text: Buffer.from(line.text).toString(), offset: line.offset } }
}

/** Where each line begins in the text of all of them. */
function startsOf(lines: readonly string[]): number[] {
  let start = 0
  return lines.map((line) => {
    const at = start
    start += line.length + 1
    return at
  })
}
