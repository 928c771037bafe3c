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
    const found = matchOf(message[1]).exec(text)
    if (found === null) continue
    const args = Object.entries(found.groups ?? {}).map(([name, value]) => [name, given(value, words)])
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

function matchOf(pattern: Pattern): RegExp {
  const parts = typeof pattern === "string" ? [pattern] : pattern
  const sources = parts.map((part) =>
    typeof part === "string" ? part.replace(/[\\^$.*+?()[\]{}|/]/g, "\\$&") : `(?<${part[0]}>.+?)`,
  )
  return new RegExp(`^${sources.join("")}$`, "s")
}
