import type { Diagnostic, Span } from "../../compiler/diagnostics/diagnostic.ts"

/** What one change of a file did: the stretch from `start` to `end` of the old text became `by` longer. */
export interface Shift {
  readonly file: string
  readonly start: number
  readonly end: number
  readonly by: number
}

export function shiftOf(file: string, before: string, after: string): Shift {
  const most = Math.min(before.length, after.length)
  let start = 0
  while (start < most && before.charCodeAt(start) === after.charCodeAt(start)) start++
  let tail = 0
  while (
    tail < most - start &&
    before.charCodeAt(before.length - 1 - tail) === after.charCodeAt(after.length - 1 - tail)
  )
    tail++
  return { file, start, end: before.length - tail, by: after.length - before.length }
}

/** The same stretch after the change; undefined where the change went through it. */
function moved(span: Span, { file, start, end, by }: Shift): Span | undefined {
  if (span.file !== file || span.end <= start) return span
  return span.start >= end ? { file, start: span.start + by, end: span.end + by } : undefined
}

/**
 * Findings of the analysis outlive a keystroke, at the places to which it moved them, until newer ones come; those that
 * the change touched go, and so do edits, which might no longer fit.
 */
export function shifted(diagnostics: readonly Diagnostic[], shift: Shift): Diagnostic[] {
  return diagnostics.flatMap((found) => {
    const span = moved(found.span, shift)
    if (!span) return []
    const labels = found.labels.flatMap((label) => {
      const place = moved(label.span, shift)
      return place ? [{ ...label, span: place }] : []
    })
    return [{ ...found, span, labels, edits: [] }]
  })
}
