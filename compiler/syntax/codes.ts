import type { Severity } from "../diagnostics/diagnostic.ts"

/**
 * Every code that reading a text can report, with when it is. Codes are part of the interface: once published, they stay.
 * The reference page of codes is made from it.
 */
export const SYNTAX_CODES = {
  incomplete: [
    "error",
    "Something is missing behind a word that needs it, or a text has no quotes around it.",
  ],
  unexpected: ["error", "A word, number or sign stands where something else is due."],
  misspelt: [
    "error",
    "A word is not one of the language, and one of the language is near; it is read as that.",
  ],
  "wrong-case": ["error", "A word of the language is written with a capital letter; it is read without."],
  "reserved-word": ["error", "A word of the language stands where a name is due."],
  "bad-name": [
    "error",
    "A name is in quotes, or has more in it than small letters, digits and `_`, a letter first.",
  ],
  "bad-number": [
    "error",
    "A number has a comma, no digit before its point, or more digits than a number can have.",
  ],
  symbol: [
    "error",
    "A sign like `<`, or the dash of a range, stands where the language has words, like `below` or `between`; it is read as those.",
  ],
  "doubled-clause": ["error", "A clause stands twice where only one can hold."],
  "unpaired-parenthesis": ["error", "A parenthesis has no partner."],
  "too-deep": ["error", "Parentheses and `not` are nested deeper than anybody reads."],
  "outside-declaration": ["error", "Something stands where a declaration has to begin, and begins none."],
  "open-text": ["error", "A text's last quote is missing."],
  "bad-escape": ["error", "A backslash in a text is followed by something else than a quote or a backslash."],
  "curly-quotes": [
    "error",
    "A text stands in single or pointed quotes, or in those that a word processor has bent; they are read as straight ones.",
  ],
  "stray-character": ["error", "A character belongs to nothing in the language."],
  "hidden-character": ["error", "A text or a comment holds a character that cannot be seen."],
  "odd-space": ["warning", "A space is none of those that a keyboard makes."],
  "byte-order-mark": ["warning", "The file begins with a byte order mark, which nothing here needs."],
  "too-long": ["error", "The file is longer than a ruleset can be, and was not read."],
  "too-many-findings": ["error", "The file has more mistakes than are listed in one run."],
} as const satisfies Record<string, readonly [Severity, string]>

export type SyntaxCode = keyof typeof SYNTAX_CODES
