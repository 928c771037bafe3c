import { applyChanges } from "../../diagnostics/apply-edits.ts"
import type { Diagnostic, Edit } from "../../diagnostics/diagnostic.ts"

/** Nobody writes a declaration of so many characters; what is one is read once, not once for each edit. */
const LONGEST_TRIED = 10_000

/** Edits tried in one text, so that reading stays in step with its length; the first mistakes are fixed first. */
const MOST_TRIED = 200

type Parse = (text: string) => readonly Diagnostic[]

/**
 * The diagnostics with those of their edits that do what they are offered for: the declaration that they change can be
 * read no worse afterwards, and the problem is gone from it. Where somebody has slipped twice in one place, what would
 * fix the one may make the other worse. `starts`: where the declarations begin, in order.
 */
export function withTriedEdits(
  text: string,
  diagnostics: readonly Diagnostic[],
  starts: readonly number[],
  parse: Parse,
): Diagnostic[] {
  const before = new Map<number, readonly Diagnostic[]>()
  let left = MOST_TRIED
  return diagnostics.map((diagnostic) => {
    if (diagnostic.edits.length === 0) return diagnostic
    const from = starts.findLast((start) => start <= diagnostic.span.start)
    if (from === undefined) return diagnostic
    const to = starts.find((start) => start > from) ?? text.length
    if (to - from > LONGEST_TRIED || left <= 0) return diagnostic
    left -= diagnostic.edits.length
    const own = text.slice(from, to)
    const said = before.get(from) ?? parse(own)
    before.set(from, said)
    const edits = diagnostic.edits.filter((edit) => works(edit, diagnostic, own, from, said, parse))
    return edits.length === diagnostic.edits.length ? diagnostic : { ...diagnostic, edits }
  })
}

function works(
  { changes }: Edit,
  diagnostic: Diagnostic,
  own: string,
  from: number,
  said: readonly Diagnostic[],
  parse: Parse,
): boolean {
  // What goes beyond the declaration is tried by nobody.
  if (changes.some(({ span: { start, end } }) => start < from || end > from + own.length)) return true
  const shifted = changes.map(({ span, text }) => ({
    text,
    span: { ...span, start: span.start - from, end: span.end - from },
  }))
  const after = parse(applyChanges(own, shifted))
  const same = (all: readonly Diagnostic[]) =>
    all.filter(({ code, message }) => code === diagnostic.code && message === diagnostic.message).length
  return errors(after) <= errors(said) && (same(said) === 0 || same(after) < same(said))
}

function errors(all: readonly Diagnostic[]): number {
  return all.filter(({ severity }) => severity === "error").length
}
