import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"

/** A fenced block of a page, and the blocks right behind it that state what comes of it. */
export interface Example {
  readonly page: string
  /** What stands behind the fence, like `ruleout frame`. */
  readonly info: string
  /** Line of the opening fence, from 1. */
  readonly line: number
  readonly text: string
  readonly results: readonly Example[]
}

const result = /^(?:findings|plan)$/

/** The fenced blocks of a Markdown page, in order. */
export function examplesOf(page: string, markdown: string): Example[] {
  const found: (Omit<Example, "results"> & { results: Example[] })[] = []
  const lines = markdown.split("\n")
  for (let at = 0; at < lines.length; at++) {
    const fence = /^```(\S.*)?$/.exec(lines[at]!)
    if (!fence) continue
    const end = lines.indexOf("```", at + 1)
    if (end < 0) throw new Error(`${page}:${at + 1}: the block is not closed`)
    const info = (fence[1] ?? "").trim()
    const block = { page, info, line: at + 1, text: lines.slice(at + 1, end).join("\n"), results: [] }
    if (result.test(info)) found.at(-1)!.results.push(block)
    else found.push(block)
    at = end
  }
  return found
}

/** Findings as the pages state them: severity, code and message, the next step below. */
export function said(diagnostics: readonly Diagnostic[]): string {
  return diagnostics
    .map(({ severity, code, message, help }) => {
      return `${severity} ${code}: ${message}${help === undefined ? "" : `\n  ${help}`}`
    })
    .join("\n")
}
