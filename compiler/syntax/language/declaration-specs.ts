import type { Declaration } from "../syntax-tree.ts"
import { type ClauseSpec, type Clauses, clauseSpecs } from "./clause-specs.ts"

/** A declaration, as data. */
export interface DeclarationSpec {
  readonly kind: Declaration["kind"]
  readonly keyword: string
  /** What stands between the keyword and the clauses. */
  readonly head: string
  /** Of a head with a name and a text: the field of the tree that has the text, and what a message calls it. */
  readonly text?: string
  /** A whole declaration. */
  readonly example: string
  readonly says: string
  readonly clauses: readonly ClauseSpec[]
}

/** A declaration that begins with its keyword, a name and a text. */
export function declarationSpec<D extends Declaration>(
  keyword: D["kind"],
  text: keyof D & string,
  example: string,
  says: string,
  clauses: Clauses<D>,
): DeclarationSpec {
  return {
    kind: keyword,
    keyword,
    head: `NAME "${text}"`,
    text,
    example,
    says,
    clauses: clauseSpecs(clauses),
  }
}
