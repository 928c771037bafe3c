import type { Span } from "../diagnostics/diagnostic.ts"
import type { ReadingIndex } from "../run/indexes.ts"
import { at, last } from "../run/lookup.ts"
import { distributionError, type Share } from "./distribution.ts"
import { multiply, spell, whole } from "./fraction.ts"
import type { Scope } from "./scope.ts"

/** A share as an author wrote it. */
export interface WrittenShare extends Share {
  readonly clause: "normally" | "shows"
  readonly span: Span
  readonly condition: Span
}

/** Reports what keeps the clauses of one fault (or one `normally`) on one reading from being a distribution. */
export function checkShares(shares: readonly WrittenShare[], reading: ReadingIndex, scope: Scope): void {
  const { report } = scope
  const domain = scope.domains[reading]
  const name = scope.readings[reading]?.name?.text ?? ""
  if (domain === undefined) return
  const wrong = distributionError(shares, domain.count)
  if (wrong === undefined) return
  if (wrong.kind === "short") {
    const { clause, span } = last(shares)
    const spare = subtractFrom100(wrong.sum)
    report.say(
      "not-hundred",
      span,
      `The percentages add up to ${percent(wrong.sum)}, and no value of \`${name}\` is left for the other ${spare}.`,
      {
        labels: shares.slice(0, -1).map((share) => ({ span: share.span, text: "with this" })),
        help:
          clause === "normally"
            ? "Every value of the reading meets the condition: write `100%`, or narrow the condition."
            : "The conditions cover every value of the reading: let the percentages add up to 100%, or leave some values uncovered.",
      },
    )
    return
  }
  const share = at(shares, wrong.share)
  if (wrong.kind === "empty") {
    report.say("no-value", share.condition, `No value of \`${name}\` meets this \`${share.clause}\`.`, {
      help:
        domain.grid === undefined
          ? "Name a value that the reading can have."
          : `\`${name}\` goes in steps of ${spell(domain.grid.by)} ${domain.grid.unit}: widen the condition until it includes a step.`,
    })
  } else if (wrong.kind === "overlap") {
    report.say("overlap", share.condition, `Two \`shows\` of this fault on \`${name}\` share values.`, {
      labels: [{ span: at(shares, wrong.with).condition, text: "overlaps with this" }],
      help: "Each value may be in one `shows` only: let the conditions meet, not overlap.",
    })
  } else {
    report.say(
      "beyond-hundred",
      share.span,
      `The \`shows\` of this fault on \`${name}\` add up to ${percent(wrong.sum)}.`,
      {
        labels: shares.slice(0, wrong.share).map((earlier) => ({ span: earlier.span, text: "with this" })),
        help: "Together they may reach 100% and no more. A `shows` without a percentage is 100%.",
      },
    )
  }
}

function percent(sum: Share["chance"]): string {
  return `${spell(multiply(sum, whole(100)))}%`
}

function subtractFrom100(sum: Share["chance"]): string {
  return percent({ top: sum.bottom - sum.top, bottom: sum.bottom })
}
