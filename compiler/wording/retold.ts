import * as m from "./compiled/common.ts"
import type { Message, Pattern } from "./message.ts"
import type { Words } from "./words.ts"

/** Any message whose arguments are all texts. */
type Told = Message<never> | Message

/** The values of a reading that is yes or no, which are no text of the ruleset. */
export const ANSWERS = [m.yes, m.no]

/**
 * In the language of `words` what was said in English by one of these messages, as the compiler says in a graph and the
 * runner, which carries no catalogue, at the bench. A text of none of them stays as it is.
 */
export function retold(text: string, messages: readonly Told[], words: Words): string {
  if (words.language === "en") return text
  for (const message of messages) {
    const found = argumentsIn(text, message[1])
    if (found === undefined) continue
    const args = Object.entries(found).map(([name, value]) => [name, given(value, words)])
    return words.say(message as Message<object>, Object.fromEntries(args))
  }
  return words.digits(text)
}

/** An argument: a number, names or values that are listed, or a text that stays as it is. */
function given(value: string, words: Words): string {
  if (!/^`[^`]*`(?: or `[^`]*`)+$/.test(value)) return words.digits(value)
  const values = value.slice(1, -1).split("` or `")
  return words.alternatives(values.map((each) => `\`${retold(each, ANSWERS, words)}\``))
}

/**
 * What stands in the text for each argument of the pattern; undefined if the text isn't of this pattern. An argument has one
 * character or more and ends at the first place of what follows, so that time grows with the text alone, whatever is in it.
 */
function argumentsIn(text: string, pattern: Pattern): Record<string, string> | undefined {
  const parts = typeof pattern === "string" ? [pattern] : pattern
  const found: Record<string, string> = {}
  let argument: string | undefined
  let at = 0
  for (const [i, part] of parts.entries()) {
    if (typeof part !== "string") {
      argument = part[0]
      continue
    }
    const place = placeOf(part, text, argument === undefined ? at : at + 1, i === parts.length - 1)
    if (place === -1 || (argument === undefined && place !== at)) return undefined
    if (argument !== undefined) found[argument] = text.slice(at, place)
    argument = undefined
    at = place + part.length
  }
  if (argument === undefined) return at === text.length ? found : undefined
  return at < text.length ? { ...found, [argument]: text.slice(at) } : undefined
}

/** Where `piece` stands in the text from `at` on, at its end if it is the last one; -1 if nowhere. */
function placeOf(piece: string, text: string, at: number, isLast: boolean): number {
  if (!isLast) return text.indexOf(piece, at)
  const place = text.length - piece.length
  return place >= at && text.endsWith(piece) ? place : -1
}
