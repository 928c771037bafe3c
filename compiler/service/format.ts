import type { Change } from "../diagnostics/diagnostic.ts"
import { print } from "../syntax/format/format.ts"
import { isWhole } from "../syntax/parser/parse.ts"
import type { Tree } from "../syntax/syntax-tree.ts"

/** The changes that bring a file into the printer's form; none where the tree does not hold all that was typed. */
export function format(tree: Tree, text: string): Change[] {
  if (!isWhole(tree)) return []
  const next = print(tree)
  if (next === text) return []
  let start = 0
  const most = Math.min(text.length, next.length)
  while (start < most && text[start] === next[start]) start++
  let tail = 0
  while (tail < most - start && text[text.length - 1 - tail] === next[next.length - 1 - tail]) tail++
  const span = { file: tree.file, start, end: text.length - tail }
  return [{ span, text: next.slice(start, next.length - tail) }]
}
