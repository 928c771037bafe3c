import type { Edit, Span } from "../../diagnostics/diagnostic.ts"
import { KEYWORDS } from "../language/keywords.ts"
import type { Token } from "../lexer/lexer.ts"
import type { DeclarationProblems } from "./declaration-problems.ts"

/** How a question's two answers are often written. */
const YES_OR_NO = /^(?:yes\/no|no\/yes|y\/n)$/i

/** An edit that writes words before a token of a file. */
export function insertBefore(words: string, file: string, { start }: Token): Edit {
  return edit(`Insert \`${words}\``, { file, start, end: start }, `${words} `)
}

/**
 * Edits that insert, or correct, the one thing that was expected at a token: a word or sign (in backticks), or what the
 * rules of the grammar take, outermost first. `isName`: a name that something declares. None if that isn't clear.
 */
export function fixesFor(
  word: string | undefined,
  isName: boolean,
  rules: readonly string[],
  { file, clause }: DeclarationProblems,
  token: Token,
): Edit[] {
  if (word !== undefined && token.kind === "number")
    return [insertBefore(word.replaceAll("`", ""), file, token)]
  if (word !== undefined || token.kind !== "text") return []
  const bare = edit("Remove the quotes", spanOf(file, token), token.text)
  if (clause?.argument === "currency") return /^[a-z]{3}$/i.test(token.text) ? [bare] : []
  const name = asName(token.text)
  if (name === "" || KEYWORDS.includes(name)) return []
  if (rules.includes("newName")) return [insertBefore(name, file, token)]
  return isName && name === token.text ? [bare] : []
}

/** Edits that correct a token that begins no clause, and the name that it may be with the word before. */
export function fixesInClauses(
  file: string,
  token: Token,
  last: Token | undefined,
  words: readonly string[],
): { name?: string; edits: Edit[] } {
  const span = spanOf(file, token)
  if (token.key === ",") return { edits: [edit("Remove it", span, "")] }
  if (YES_OR_NO.test(token.text) && words.includes("yes or no"))
    return { edits: [edit("Write `yes or no`", span, "yes or no")] }
  if (!isName(token) || token.first || last === undefined || !isName(last)) return { edits: [] }
  const name = `${last.text}_${token.text}`
  return { name, edits: [edit(`Write \`${name}\``, { file, start: last.end, end: token.start }, "_")] }
}

function isName({ kind, key }: Token): boolean {
  return kind === "word" && key === ""
}

function edit(title: string, span: Span, text: string): Edit {
  return { title, safe: false, changes: [{ span, text }] }
}

function spanOf(file: string, { start, end }: Token): Span {
  return { file, start, end }
}

/** A name made of the words of a label; empty if that gives none. */
function asName(label: string): string {
  const plain = label.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase()
  const words = plain.replace(/[^a-z0-9]+/g, "_").replace(/^[0-9_]+|_$/g, "")
  return words.length <= 40 ? words : words.slice(0, 40).replace(/_[^_]*$/, "")
}
