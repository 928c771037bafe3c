/** JSON from outside: said in words where it is none, and refused where it could be read in two ways. */
import { flaw } from "../../cases/record/json-locations.ts"
import { excerpt } from "../../diagnostics/escape.ts"
import { lineAndColumn } from "../../diagnostics/render.ts"
import { displayName } from "./files.ts"
import { UserError } from "./user-error.ts"

/** @throws UserError if the text isn't JSON, or an object in it has a key twice: readers differ in which one counts */
export function readJson(file: string, text: string): unknown {
  const bare = text.replace(/^\ufeff/, "")
  let document: unknown
  try {
    document = JSON.parse(bare)
  } catch {
    const { at, says } = flaw(text.replace("\ufeff", " ")) ?? { at: 0, says: "it can't be read" }
    const { line } = lineAndColumn(text, at)
    throw new UserError(
      `${displayName(file)} isn't JSON: in line ${line} ${says}.`,
      "Compile the ruleset again.",
    )
  }
  const doubled = doubledKey(bare)
  if (doubled !== undefined)
    throw new UserError(
      `${displayName(file)} has the key ${excerpt(doubled)} twice in one object, so it says two things at once.`,
      "No compiler writes that: get the file from where it comes from again.",
    )
  return document
}

interface TextString {
  readonly start: number
  readonly end: number
  readonly isKey: boolean
}

/** The strings of a JSON text, by search: a regular expression for one would run out of stack on a long one. */
function* stringsOf(text: string): Generator<TextString> {
  for (let start = text.indexOf('"'); start >= 0; ) {
    let end = text.indexOf('"', start + 1)
    while (isEscaped(text, end)) end = text.indexOf('"', end + 1)
    let after = end + 1
    while (" \t\r\n".includes(text[after] ?? ".")) after++
    yield { start, end: end + 1, isKey: text[after] === ":" }
    start = text.indexOf('"', after)
  }
}

function isEscaped(text: string, quote: number): boolean {
  let slashes = 0
  while (text[quote - 1 - slashes] === "\\") slashes++
  return slashes % 2 === 1
}

/** A key that an object of the text has twice; without recursion: a document may be nested as deep as it likes. */
function doubledKey(text: string): string | undefined {
  const open: Set<string>[] = []
  let at = 0
  for (const { start, end, isKey } of stringsOf(text)) {
    for (; at < start; at++) {
      if (text[at] === "{") open.push(new Set())
      else if (text[at] === "}") open.pop()
    }
    at = end
    if (!isKey) continue
    const key = JSON.parse(text.slice(start, end)) as string
    const known = open.at(-1)
    if (known?.has(key)) return key
    known?.add(key)
  }
  return undefined
}
