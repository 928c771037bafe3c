/** Diagnostics as text for the terminal. */
import type { Diagnostic } from "../../diagnostics/diagnostic.ts"
import { renderText } from "../../diagnostics/render.ts"
import { countOf, grouped } from "../../wording/figures.ts"
import { err, hasColor } from "./terminal.ts"

/** Diagnostics beyond these are only counted: whoever reads them in a terminal fixes the first ones first. */
const MOST = 200

export interface Counts {
  readonly errors: number
  readonly warnings: number
  readonly notes: number
}

export function countDiagnostics(diagnostics: readonly Diagnostic[]): Counts {
  const count = (severity: string) => diagnostics.filter((each) => each.severity === severity).length
  return { errors: count("error"), warnings: count("warning"), notes: count("note") }
}

/** `2 errors, 1 warning`; empty if there are none. */
export function countsText({ errors, warnings, notes }: Counts): string {
  const some = (n: number, noun: string) => (n === 0 ? [] : [countOf(n, noun)])
  return [...some(errors, "error"), ...some(warnings, "warning"), ...some(notes, "note")].join(", ")
}

export function diagnosticsText(
  diagnostics: readonly Diagnostic[],
  sources: ReadonlyMap<string, string>,
  color: boolean,
): string {
  const text = renderText(diagnostics.slice(0, MOST), sources, { color })
  const more = diagnostics.length - MOST
  return more > 0 ? `${text}\nand ${grouped(more)} more. Fix these first, or see all with --json.\n` : text
}

/** Prints to standard error: standard output is for what the command was asked for. */
export function printDiagnostics(
  diagnostics: readonly Diagnostic[],
  sources: ReadonlyMap<string, string>,
): void {
  if (diagnostics.length > 0) err(`${diagnosticsText(diagnostics, sources, hasColor(process.stderr))}\n`)
}
