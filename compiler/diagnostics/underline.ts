import { DECLARATIONS } from "../syntax/language/statements.ts"
import type { Span } from "./diagnostic.ts"

const named = DECLARATIONS.filter(({ head }) => head.startsWith("NAME")).map(({ keyword }) => keyword)
const head = new RegExp(`^(?:${named.join("|")})[ \\t]+\\w+`)

/**
 * What is underlined of a span: of a declaration its keyword and name, of anything else what is on its first line. A
 * line under everything points at nothing.
 */
export function underlined(text: string, span: Span): Span {
  const all = text.slice(span.start, span.end)
  const [first] = all.split(/[\r\n]/, 1)
  const shown = head.exec(all)?.[0] ?? (first === all ? all : first!.trimEnd())
  return { ...span, end: span.start + shown.length }
}
