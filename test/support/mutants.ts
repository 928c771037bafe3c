/** Texts with mistakes in them, and what must hold of every text whatever is in it. */
import { readFileSync } from "node:fs"
import { join } from "node:path"
import { FRAME } from "../../compiler/check/example-ruleset.ts"
import { analyse } from "../../compiler/compile.ts"
import { renderText } from "../../compiler/diagnostics/render.ts"
import { print } from "../../compiler/syntax/format/format.ts"
import { isWhole, parse } from "../../compiler/syntax/parser/parse.ts"
import { KIOSK_DARK } from "./kiosk.ts"
import type { Draw } from "./models.ts"

const SEAT = readFileSync(join(import.meta.dirname, "../cli/seat.ruleout"), "utf8")
const SOURCES = [KIOSK_DARK, SEAT, FRAME]
const STRANGE = [...'\u0000\u001b\u202e\ufeff\ud800\u00a0\u2028"\\#%(),;é°🙂\r\n\t']

/** A ruleset with one to eight mistakes: slips of the pen, pieces moved and doubled, characters that nobody types. */
export function mutant(draw: Draw): string {
  let text = SOURCES[draw.int(0, SOURCES.length - 1)]!
  for (let n = draw.int(1, 8); n > 0 && text.trim() !== ""; n--) {
    const [a, b] = [draw.int(0, text.length), draw.int(0, text.length)].sort((x, y) => x - y) as [
      number,
      number,
    ]
    const kind = draw.int(0, 5)
    if (kind < 3) text = slip(text, draw)
    else if (kind === 3) text = text.slice(0, a) + STRANGE[draw.int(0, STRANGE.length - 1)] + text.slice(a)
    else if (kind === 4) text = text.slice(0, a) + text.slice(Math.min(b, a + 200))
    else text = text.slice(0, b) + text.slice(a, Math.min(b, a + 200)) + text.slice(b)
  }
  return text
}

/** What is wrong with how a text is taken; undefined where nothing is. Whatever is thrown comes through. */
export function wrongWith(text: string): string | undefined {
  const file = "mutant.ruleout"
  const { diagnostics, sources } = analyse(file, () => text)
  for (const { span, edits } of diagnostics)
    for (const { start, end } of [
      span,
      ...edits.flatMap(({ changes }) => changes.map((change) => change.span)),
    ])
      if (!(start >= 0 && start <= end && end <= text.length))
        return `a place outside of the text: ${start}-${end}`
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what a terminal obeys
  if (/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e]/.test(renderText(diagnostics, sources)))
    return "something that a terminal obeys in its messages"
  const { tree } = parse(file, text)
  if (!isWhole(tree)) return undefined
  const once = print(tree)
  return print(parse(file, once).tree) === once ? undefined : "another layout each time it is laid out"
}

/** A text as somebody writes it who slips once: a letter, a word or a sign too few, too many or another one. */
export function slip(text: string, draw: Draw): string {
  const words = [...text.matchAll(/\S+/g)]
  const at = draw.int(0, words.length - 1)
  const { 0: word, index } = words[at]!
  const end = index + word.length
  const put = (other: string) => text.slice(0, index) + other + text.slice(end)
  const letter = draw.int(0, word.length - 1)
  return [
    () => put(""),
    () => put(`${word} ${word}`),
    () => put(word.slice(0, letter) + word.slice(letter + 1)),
    () => put(`${word.slice(0, letter)}${word[letter]}${word.slice(letter)}`),
    () => put(word.toUpperCase()),
    () => put(word.replaceAll('"', "")),
    () => put(word.replaceAll('"', "\u201d")),
    () => put(word.replace("%", "")),
    () => put(word.replace(/(\d)$/, "$1%")),
    () => put(`${word},`),
    () => put(word.replace(",", "")),
    () => put(word.replace(".", ",")),
    () => put(word.replace("_", " ")),
    () => put(word.replace("_", "-")),
    () => put(`(${word}`),
    () => put(`${word} = `),
    () => put(words[draw.int(0, words.length - 1)]![0]),
    () => put("if"),
    () => put("5\u201310"),
  ][draw.int(0, 18)]!()
}
