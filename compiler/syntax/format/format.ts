import { at } from "../../run/lookup.ts"
import type { Comment, Declaration, Tree } from "../syntax-tree.ts"
import { alignGroup } from "./align.ts"
import { layoutOf } from "./declaration-layout.ts"
import { writeDeclaration } from "./layout.ts"

/**
 * The text of a tree, laid out in the one way of the formatter: what fits stands on one line, like declarations in a
 * row stand in columns, other clauses are indented by two spaces. Keeps the order of clauses, all comments, and one
 * blank line where there were any. Printing what was parsed from the result gives the result again. Of a tree that is
 * not whole (see `isWhole`) it gives what is in it, so its text must not take the place of the source.
 */
export function print(tree: Tree): string {
  const out: string[] = []
  for (const group of groupsOf(tree.declarations)) {
    const layouts = group.map(layoutOf)
    const rows = alignGroup(layouts)
    for (const [i, declaration] of group.entries()) {
      if (declaration.blankBefore) out.push("")
      out.push(...linesOf(declaration.leading))
      if (declaration.detached && declaration.leading.length > 0) out.push("")
      out.push(...writeDeclaration(at(layouts, i), rows[i]))
    }
  }
  const [first] = tree.trailing
  if (first?.blankBefore) out.push("")
  out.push(...linesOf(tree.trailing))
  while (out[0] === "") out.shift()
  return out.length === 0 ? "" : `${out.join("\n")}\n`
}

/** Declarations of one kind with no blank line and no comment of their own line between. */
function groupsOf(declarations: readonly Declaration[]): Declaration[][] {
  const groups: Declaration[][] = []
  for (const declaration of declarations) {
    const group = groups.at(-1)
    const goesOn =
      group?.[0]?.kind === declaration.kind && !declaration.blankBefore && declaration.leading.length === 0
    if (goesOn) group.push(declaration)
    else groups.push([declaration])
  }
  return groups
}

/** Comments on lines of their own; the blank line above the first is not theirs to print. */
function linesOf(comments: readonly Comment[]): string[] {
  return comments.flatMap((comment, i) =>
    i > 0 && comment.blankBefore ? ["", comment.text] : [comment.text],
  )
}
