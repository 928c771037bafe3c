import type { Span } from "../diagnostics/diagnostic.ts"
import type { Act } from "../run/index.ts"
import type { Tree } from "../syntax/syntax-tree.ts"

/** A job as it might go, and what is expected of the plan on the way. */
export interface Scenario {
  readonly text: string
  readonly steps: readonly ScenarioStep[]
  readonly span: Span
}

export type ScenarioStep = (
  | { readonly kind: "finds"; readonly reading: string; readonly value: string }
  | {
      readonly kind: "does"
      readonly act: Act
      readonly found: "gone" | "stays" | "holds" | "fails" | "done"
    }
  | { readonly kind: "cannot"; readonly test: string }
  | { readonly kind: "expects next"; readonly act: Act }
  | { readonly kind: "expects fault"; readonly fault: string; readonly is: FaultIs }
) & { readonly span: Span }

/** What a fault is expected to be; `chance` of 1. */
export type FaultIs =
  | { readonly bound: "ruled out" }
  | { readonly bound: "at least" | "at most"; readonly chance: number }

/** A text without its scenarios, each with what stands between it and the declaration before it. */
export function withoutScenarios(text: string, { declarations }: Tree): string {
  let left = ""
  let done = 0
  for (const { kind, span, leading, inner } of declarations) {
    if (kind !== "scenario") continue
    const start = leading[0]?.span.start ?? span.start
    left += text.slice(done, start).trimEnd()
    done = Math.max(span.end, inner.at(-1)?.span.end ?? 0)
  }
  return left + text.slice(done)
}
