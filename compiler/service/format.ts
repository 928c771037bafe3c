import type { Change } from "../diagnostics/diagnostic.ts"
import { print } from "../syntax/format/format.ts"
import { isWhole } from "../syntax/parser/parse.ts"
import type { Tree } from "../syntax/syntax-tree.ts"
import { changeBetween } from "./change-between.ts"

/** The changes that bring a file into the printer's form; none if the tree does not hold all that was typed. */
export function format(tree: Tree, text: string): Change[] {
  const change = isWhole(tree) ? changeBetween(tree.file, text, print(tree)) : undefined
  return change ? [change] : []
}
