import type { Declaration } from "../syntax/syntax-tree.ts"
import { highlight, type TokenStyle } from "./highlight.ts"
import { occurrences } from "./occurrences.ts"
import type { Workspace } from "./workspace.ts"

/** A stretch of text by what it means: how it is styled, and of a name what it is the name of. */
export interface SemanticToken {
  readonly start: number
  readonly end: number
  readonly look: TokenStyle
  readonly names?: Declaration["kind"]
}

/** In the order of the text; no token goes over a line break. */
export function semanticTokens(workspace: Workspace, file: string): SemanticToken[] {
  const all = occurrences(workspace.reading.trees)
  const declared = all.filter(({ declares }) => declares)
  const kinds = new Map(declared.map(({ name, declaration }) => [name, declaration.kind]))
  const own = all.filter(({ span }) => span.file === file)
  const named = new Map(own.map(({ span, name }) => [span.start, kinds.get(name)]))
  return highlight(workspace.text(file)).map((range) => {
    const names = named.get(range.start)
    return names === undefined ? range : { ...range, names }
  })
}
