import type { Span } from "../diagnostics/diagnostic.ts"
import { namesUsed } from "../syntax/language/names-in.ts"
import type { Declaration, Name, Tree } from "../syntax/syntax-tree.ts"

/** One place where a name stands: where it is declared, or where it is used. */
export interface Occurrence {
  readonly name: string
  readonly span: Span
  readonly declares: boolean
  readonly declaration: Declaration
}

/** All names of these trees, in the order of the texts. Values of `one of` and units are no names. */
export function occurrences(trees: readonly Tree[]): Occurrence[] {
  return trees.flatMap((tree) => tree.declarations.flatMap((declaration) => inDeclaration(declaration)))
}

function inDeclaration(declaration: Declaration): Occurrence[] {
  const declares = "name" in declaration && declaration.name ? [declaration.name] : []
  const occurrence = (isNew: boolean) => (name: Name) => ({
    name: name.text,
    span: name.span,
    declares: isNew,
    declaration,
  })
  const used = namesUsed(declaration).map(({ name }) => name)
  return [...declares.map(occurrence(true)), ...used.map(occurrence(false))].sort(
    (a, b) => a.span.start - b.span.start,
  )
}

/** The name at an offset; the caret right behind a name still counts. */
export function occurrenceAt(
  all: readonly Occurrence[],
  file: string,
  offset: number,
): Occurrence | undefined {
  return all.find(({ span }) => span.file === file && span.start <= offset && offset <= span.end)
}
