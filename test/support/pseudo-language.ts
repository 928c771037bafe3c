import type { Option, Part, Pattern, Texts } from "../../compiler/wording/message.ts"
import { patternIn } from "../../compiler/wording/messages/compile.ts"
import { Words } from "../../compiler/wording/words.ts"
import { catalogue, rooms } from "../../playground/build/compiled-messages.ts"

/** What each small and each capital letter becomes; there are as many as in the alphabet. */
type Letters = readonly [small: string, capital: string]

const ACCENTED: Letters = ["åƀçđéƒĝĥîĵķļɱñöþɋŕšţûṽŵẋýž", "ÅƁÇĐÉƑĜĤÎĴĶĻṀÑÖÞɊŔŠŢÛṼŴẊÝŽ"]
/** Arabic letters, which join and run from right to left; they have no capitals. */
const ARABIC: Letters = ["ابجدهوزحطيكلمنسعفصقرشتثخذض", "ابجدهوزحطيكلمنسعفصقرشتثخذض"]

/**
 * Words in no language, made of the English catalogues: every letter that comes of a catalogue has an accent, each message
 * stands in brackets and is about a third longer. So what is said past the catalogues is seen, and so is what gets no room.
 */
export const pseudoTexts: Texts = textsOf(ACCENTED, (pattern) => {
  const padding = "·".repeat(Math.ceil(lengthOf(pattern) * 0.35))
  return ["⟦", ...parts(pattern), `${padding}⟧`]
})

export const pseudoWords = new Words("en-XA", pseudoTexts)

/** The same from right to left. */
export const rightToLeftTexts: Texts = textsOf(ARABIC, (pattern) => pattern)

export const rightToLeftWords = new Words("ar-XB", rightToLeftTexts)

/** The words of a text that are of no catalogue, nor any of these texts, such as those of the ruleset. */
export function strayWords(text: string, known: readonly string[]): string[] {
  const left = known
    .toSorted((a, b) => b.length - a.length)
    .reduce((rest, each) => (each === "" ? rest : rest.replaceAll(each, " ")), text)
  return left.match(/[A-Za-z]{2,}/g) ?? []
}

function textsOf(letters: Letters, framed: (pattern: Pattern) => Pattern): Texts {
  const english = rooms.flatMap((room) => Object.entries(catalogue("en", room)))
  return Object.fromEntries(
    english.map(([key, text]) => [
      key,
      framed(mapped(patternIn(text), (piece) => disguised(piece, letters))),
    ]),
  )
}

function disguised(text: string, [small, capital]: Letters): string {
  return text.replace(/[a-z]/gi, (letter) => {
    const index = letter.toLowerCase().charCodeAt(0) - 97
    return [...(letter === letter.toLowerCase() ? small : capital)][index] ?? letter
  })
}

function parts(pattern: Pattern): readonly Part[] {
  return typeof pattern === "string" ? [pattern] : pattern
}

function mapped(pattern: Pattern, change: (text: string) => string): Pattern {
  if (typeof pattern === "string") return change(pattern)
  return pattern.map((part): Part => {
    if (typeof part === "string") return change(part)
    const [name, kind, options] = part
    return options === undefined ? part : [name, kind as "plural" | "select", mappedOptions(options, change)]
  })
}

function mappedOptions(options: Option, change: (text: string) => string): Option {
  return Object.fromEntries(Object.entries(options).map(([word, each]) => [word, mapped(each, change)]))
}

function lengthOf(pattern: Pattern): number {
  return parts(pattern).reduce((sum, part) => sum + (typeof part === "string" ? part.length : 5), 0)
}
