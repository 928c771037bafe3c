import { grouped } from "./figures.ts"
import { english } from "./words.ts"

/** `a`, `a and b`, `a, b and c`; with `or` instead: `a, b or c`. */
export const { listed } = english

const SMALL_NUMBERS = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]

/** `no rules`, `one rule`, `three rules`, `12 rules`. */
export function counted(count: number, noun: string, plural = `${noun}s`): string {
  return `${SMALL_NUMBERS[count] ?? count} ${count === 1 ? noun : plural}`
}

export function capitalized(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}

/** A text of an author's as a sentence: with a full stop, unless it ends in a mark of its own. */
export function sentence(text: string): string {
  return /[.!?…:]$/.test(text) ? text : `${text}.`
}

/** `a voltage`, `an energy`. */
export function withArticle(noun: string): string {
  return `${/^[aeiou]/.test(noun) ? "an" : "a"} ${noun}`
}

/** A name as the author wrote it, set off from the sentence around it. */
export function backticked(name: string): string {
  return `\`${name}\``
}

/** Names in backticks; beyond `most` the rest is only counted: `a`, `b` and 3 more. */
export function listedNames(names: readonly string[], last: "and" | "or" = "and", most = 6): string {
  const shown = names.slice(0, most).map(backticked)
  return listed(names.length > most ? [...shown, `${grouped(names.length - most)} more`] : shown, last)
}
