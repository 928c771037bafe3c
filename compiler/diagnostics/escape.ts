/** Longest piece of the user's text that a message repeats; more is shown by the span. */
const LONGEST = 40

/** The user's own text in backticks, on one line, short, and with nothing in it that a terminal would obey. */
export function excerpt(text: string): string {
  const short = text.length > LONGEST ? `${text.slice(0, LONGEST)}…` : text
  return `\`${visible(short.replace(/\s+/gu, " "))}\``
}

/** The code point that a text begins with; 0 of an empty one. */
export function codeOf(text: string): number {
  return text.codePointAt(0) ?? 0
}

/** `U+0000`. */
function unicode(character: string): string {
  return `U+${codeOf(character).toString(16).toUpperCase().padStart(4, "0")}`
}

/** What cannot be seen by its number, like `U+0000`: the first few, then `…`. */
export function codePoints(text: string): string {
  const points = Array.from(text.slice(0, 8), unicode)
  const shown = points.slice(0, 3).join(" ")
  return `\`${shown}${points.length > 3 ? " …" : ""}\``
}

/** Control characters, marks that turn the direction of writing, and halves of a character: never sent raw. */
const UNSEEN = /[\p{Cc}\p{Surrogate}\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]/gu

/** The text with each character that a terminal would obey, or not show, written as `<U+0007>`. */
export function visible(text: string): string {
  return text.replace(UNSEEN, (c) => `<${unicode(c)}>`)
}
