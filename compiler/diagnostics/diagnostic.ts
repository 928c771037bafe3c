/**
 * The one thing that every stage says to the user. A diagnostic is plain data, so that the terminal, the editor,
 * JSON and SARIF are renderings of the same object and a worker can post it.
 */

/** A stretch of one source file: offsets in UTF-16 code units, `end` not included. */
export interface Span {
  readonly file: string
  readonly start: number
  readonly end: number
}

export type Severity = "error" | "warning" | "note"

/** A second place that takes part in a diagnostic, with a few words on its part in it. */
export interface Label {
  readonly span: Span
  readonly text: string
}

/** A replacement of text; several changes of one edit never overlap. */
export interface Change {
  readonly span: Span
  readonly text: string
}

/** A way to correct the text. `safe` edits never change what a correct ruleset means; only those are applied by `--fix`. */
export interface Edit {
  readonly title: string
  readonly safe: boolean
  readonly changes: readonly Change[]
}

export interface Diagnostic {
  /** Part of the interface: stays as it is once published, like `unknown-name`. */
  readonly code: string
  readonly severity: Severity
  /** One sentence: the user's own text in backticks, what is wrong, in the trade's words. */
  readonly message: string
  readonly span: Span
  readonly labels: readonly Label[]
  /** The next step, where there is one. */
  readonly help?: string
  readonly edits: readonly Edit[]
}

/** Builds a diagnostic with the optional fields left out where they are empty. */
export function diagnostic(
  severity: Severity,
  code: string,
  span: Span,
  message: string,
  more: { labels?: readonly Label[]; help?: string | undefined; edits?: readonly Edit[] } = {},
): Diagnostic {
  return {
    code,
    severity,
    message: brief(message),
    span,
    labels: more.labels ?? [],
    ...(more.help === undefined ? {} : { help: brief(more.help) }),
    edits: more.edits ?? [],
  }
}

/** Names from outside stand in a message, and may be of any length. */
const LONGEST = 4_000

function brief(text: string): string {
  return text.length > LONGEST ? `${text.slice(0, LONGEST)}…` : text
}

/** Order of printing: by file in the order given, then by place, errors first at the same place. */
export function inOrder(diagnostics: readonly Diagnostic[]): Diagnostic[] {
  const rank = { error: 0, warning: 1, note: 2 }
  return [...diagnostics].sort(
    (a, b) =>
      (a.span.file < b.span.file ? -1 : a.span.file > b.span.file ? 1 : 0) ||
      a.span.start - b.span.start ||
      rank[a.severity] - rank[b.severity],
  )
}
