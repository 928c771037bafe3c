import type { Span } from "./diagnostic.ts"

/** Two words before a text or a colon: the keyword and the name of a declaration. */
const HEAD = /^\w+[ \t]+\w+(?=[ \t]*[":])/

/**
 * What is underlined of a span: of a declaration its keyword and name, of anything else what is on its first line. A
 * line under everything points at nothing.
 */
export function underlined(text: string, span: Span): Span {
  const all = text.slice(span.start, span.end)
  const [first = ""] = all.split(/[\r\n]/, 1)
  const shown = HEAD.exec(all)?.[0] ?? (first === all ? all : first.trimEnd())
  return { ...span, end: span.start + shown.length }
}
