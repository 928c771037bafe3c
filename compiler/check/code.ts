import type { Diagnostic, Severity } from "../diagnostics/diagnostic.ts"
import type { Context } from "./context.ts"

/** What the reference says about a code. */
export interface CodeText {
  readonly code: string
  readonly severity: Severity
  /** What it proves, or when it is reported, in one line. */
  readonly summary: string
  /** What it means at the bench, and what to do; Markdown. */
  readonly explain: string
  /** Declarations that trigger it when added to `example-ruleset.ts`, and the same fixed. Both run as tests. */
  readonly example: string
  readonly fixed: string
}

/** One code of the analysis. */
export interface Check extends CodeText {
  /** Other codes that the example triggers as well. */
  readonly alongside?: readonly string[]
  /** Its examples are about gaps between rules, which have to be asked for. */
  readonly asksForGaps?: boolean
  /** True for a code about the best plan: without a plan it reports nothing. */
  readonly ofPlan?: boolean
  run(context: Context): Iterable<Diagnostic>
}
