import type { Edit, Span } from "../../diagnostics/diagnostic.ts"
import { KEYWORDS } from "../language/statements.ts"
import type { Token } from "../lexer/lexer.ts"
import { OF_NAMES } from "./expected.ts"

/** How a question's two answers are often written. */
const YES_OR_NO = /^(?:yes\/no|no\/yes|y\/n)$/i

/** An edit that writes words before a token of a file. */
export function putBefore(words: string, file: string, { start }: Token): Edit {
  return offer(`Put \`${words}\``, { file, start, end: start }, `${words} `)
}

/**
 * What puts in, or mends, the one thing that was due at a token: a keyword (`due`, in backticks), or what the rule of the
 * grammar takes. Nothing where that is not clear.
 */
export function offersFor(due: string, rule: string | undefined, file: string, token: Token): Edit[] {
  if (due.startsWith("`") && token.kind === "number") return [putBefore(due.replaceAll("`", ""), file, token)]
  if (token.kind !== "text") return []
  const bare = offer("Take the quotes away", spanOf(file, token), token.text)
  if (rule === "money") return /^[a-z]{3}$/i.test(token.text) ? [bare] : []
  const name = asName(token.text)
  if (name === "" || KEYWORDS.includes(name)) return []
  if (rule === "newName") return [putBefore(name, file, token)]
  return name === token.text && OF_NAMES.has(rule ?? "") ? [bare] : []
}

/** What mends a token that begins no clause, and the name that it may be with the word before. */
export function offersAt(
  file: string,
  token: Token,
  last: Token | undefined,
  words: readonly string[],
): { name?: string; edits: Edit[] } {
  const span = spanOf(file, token)
  if (token.key === ",") return { edits: [offer("Take it out", span, "")] }
  if (YES_OR_NO.test(token.text) && words.includes("yes or no"))
    return { edits: [offer("Write `yes or no`", span, "yes or no")] }
  if (!isName(token) || token.first || last === undefined || !isName(last)) return { edits: [] }
  const name = `${last.text}_${token.text}`
  return { name, edits: [offer(`Write \`${name}\``, { file, start: last.end, end: token.start }, "_")] }
}

function isName({ kind, key }: Token): boolean {
  return kind === "word" && key === ""
}

function offer(title: string, span: Span, text: string): Edit {
  return { title, safe: false, changes: [{ span, text }] }
}

function spanOf(file: string, { start, end }: Token): Span {
  return { file, start, end }
}

/** A name made of the words of a label; empty where that gives none. */
function asName(label: string): string {
  const plain = label.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase()
  const words = plain.replace(/[^a-z0-9]+/g, "_").replace(/^[0-9_]+|_+$/g, "")
  return words.length <= 40 ? words : words.slice(0, 40).replace(/_[^_]*$/, "")
}
