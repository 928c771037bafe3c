import { DECLARATIONS } from "../syntax/language/statements.ts"

const keyword = new RegExp(`^[ \\t]*(?:${DECLARATIONS.map((spec) => spec.keyword).join("|")})\\b`, "gm")

/** Where the declaration begins in which an offset lies; 0 before the first. */
export function startOfDeclaration(text: string, offset: number): number {
  let start = 0
  for (const match of text.slice(0, offset).matchAll(keyword)) {
    // A keyword that is only just being typed does not begin a declaration of its own yet.
    if (match.index + match[0].length < offset) start = match.index
  }
  return start
}

/**
 * The declaration that is being written at an offset: nothing follows the offset in it, and no empty line lies between.
 * Undefined elsewhere.
 */
export function unfinishedAt(
  text: string,
  offset: number,
): { readonly start: number; readonly end: number } | undefined {
  const rest = text.slice(offset)
  const next = rest.search(keyword)
  const end = next < 0 ? text.length : offset + next
  const isFollowed = text
    .slice(offset, end)
    .split("\n")
    .some((line) => line.split("#", 1).join("").trim() !== "")
  const before = text.slice(0, offset)
  const gap = before.slice(before.trimEnd().length)
  if (isFollowed || gap.split("\n").length > 2) return undefined
  return { start: startOfDeclaration(text, offset), end }
}
