/** What is said of recorded cases as they stream by: the first findings in full, the others counted. */

import type { CaseDiagnostic } from "../../cases/record/read.ts"
import type { Entry } from "../../cases/table/batch.ts"
import { countText, findingsText } from "./report-diagnostics.ts"
import { err, hasColor, style } from "./terminal.ts"
import { type Exit, exitOf } from "./user-error.ts"

const most = 200
const mostInJson = 10_000

/** A diagnostic with the line that it is in, since the file is not kept. */
export interface Remark {
  readonly diagnostic: CaseDiagnostic
  /** Absent for a row of a table, whose findings say row and column themselves. */
  readonly line?: { readonly text: string; readonly offset: number }
}

export function remarksOf({ diagnostics, source, offset }: Entry): Remark[] {
  return diagnostics.map((diagnostic) => ({
    diagnostic,
    ...(typeof source === "string" ? { line: { text: source, offset } } : {}),
  }))
}

export class RemarkList {
  readonly #kept: Remark[] = []
  readonly #counts = { errors: 0, warnings: 0, notes: 0 }
  #all = 0

  add(remarks: readonly Remark[]): void {
    for (const remark of remarks) {
      this.#all++
      this.#counts[`${remark.diagnostic.severity}s`]++
      if (this.#kept.length < most) this.#kept.push(apart(remark))
      else if (this.#kept.length < mostInJson) this.#kept.push({ diagnostic: remark.diagnostic })
    }
  }

  get exit(): Exit {
    return exitOf(this.#counts)
  }

  /** For JSON; at most ten thousand. */
  get diagnostics(): CaseDiagnostic[] {
    return this.#kept.map(({ diagnostic }) => diagnostic)
  }

  /** To standard error. */
  say(): void {
    if (this.#all === 0) return
    const color = hasColor(process.stderr)
    for (const { diagnostic, line } of this.#kept.slice(0, most)) {
      // The renderer counts lines from the start of the file: blank ones stand for those before.
      const before = "\n".repeat(diagnostic.line - 1)
      const shift = before.length - (line?.offset ?? 0)
      const { file, start, end } = diagnostic.span
      const span = { file, start: start + shift, end: end + shift }
      const sources = new Map(line === undefined ? [] : [[file, before + line.text]])
      err(`${findingsText([{ ...diagnostic, span }], sources, color)}\n`)
    }
    if (this.#all > most) err(`and ${this.#all - most} more.\n`)
    const { warn } = style(color)
    err(
      `${warn(`${countText(this.#counts)} in the cases, see above: what could not be read was left out.`)}\n`,
    )
  }
}

/** A line cut out of a batch keeps all of the batch in memory; a copy keeps itself. */
function apart({ diagnostic, line }: Remark): Remark {
  if (line === undefined) return { diagnostic }
  return { diagnostic, line: { text: Buffer.from(line.text).toString(), offset: line.offset } }
}
