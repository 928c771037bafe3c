import type { Severity } from "../diagnostics/diagnostic.ts"

/**
 * Every code that reading a text can report, with when it is. Codes are part of the interface: once published, they stay.
 * The reference page of codes is made from it.
 */
export const SYNTAX_CODES = {
  incomplete: ["error", "Something is missing after a word that needs it, or a text has no quotes."],
  unexpected: ["error", "A word, number or sign was found where something else is expected."],
  misspelt: ["error", "A word isn't a keyword, but is close to one; it is read as that keyword."],
  "wrong-case": ["error", "A keyword has a capital letter; it is read without."],
  "reserved-word": ["error", "A keyword is used as a name."],
  "bad-name": [
    "error",
    "A name is in quotes, or has other characters than small letters, digits and `_`, a letter first.",
  ],
  "bad-number": [
    "error",
    "A number has a comma, no digit before its point, or more digits than a number can have.",
  ],
  symbol: [
    "error",
    "A sign like `<`, or the dash of a range, is used where the language has words, like `below` or `between`; it is read as those.",
  ],
  "doubled-clause": ["error", "A clause is given twice where only one can hold."],
  "unpaired-parenthesis": ["error", "A parenthesis has no partner."],
  "too-deep": ["error", "Parentheses and `not` are nested deeper than anybody reads."],
  "outside-declaration": ["error", "Text outside of any declaration."],
  "open-text": ["error", "A text has no closing quote."],
  "bad-escape": ["error", "A backslash in a text is followed by neither a quote nor a backslash."],
  "curly-quotes": ["error", "A text has single, pointed or curly quotes; they are read as straight ones."],
  "stray-character": ["error", "A character has no meaning in the language."],
  "hidden-character": ["error", "A text or a comment holds a character that can't be seen."],
  "odd-space": ["warning", "A space is of an unusual kind."],
  "byte-order-mark": ["warning", "The file begins with a byte order mark, which isn't needed."],
  "too-long": ["error", "A file is longer than a ruleset can be and was not read, or a text in it is."],
  "too-many-findings": ["error", "The file has more problems than are listed in one run."],
} as const satisfies Record<string, readonly [Severity, string]>

export type SyntaxCode = keyof typeof SYNTAX_CODES
