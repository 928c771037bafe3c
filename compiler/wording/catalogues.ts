import { bestLanguage } from "./best-language.ts"
import { texts as germanBench } from "./compiled/bench.de.ts"
import { texts as germanCard } from "./compiled/card.de.ts"
import { texts as germanCommon } from "./compiled/common.de.ts"
import { texts as germanDesk } from "./compiled/desk.de.ts"
import { texts as germanRunner } from "./compiled/runner.de.ts"
import { texts as germanSheets } from "./compiled/sheets.de.ts"
import { texts as germanTerminal } from "./compiled/terminal.de.ts"
import type { Texts } from "./message.ts"
import { english, Words } from "./words.ts"

/** By who says it: the bench as an element, what a page has besides, and the rest. */
interface Rooms {
  readonly element: readonly Texts[]
  readonly page: readonly Texts[]
  readonly other: readonly Texts[]
}

/** The catalogues beside the English one, which stands where it is said. */
const catalogues: Readonly<Record<string, Rooms>> = {
  de: {
    element: [germanCommon, germanRunner, germanBench],
    page: [germanDesk, germanSheets],
    other: [germanCard, germanTerminal],
  },
}

/** The languages that the tool's own words are in. */
export const LANGUAGES: readonly string[] = ["en", ...Object.keys(catalogues)]

/** The words in the language that suits best, of some tags in the order of preference; English where none does. */
export function wordsOf(...wanted: readonly string[]): Words {
  const language = bestLanguage(LANGUAGES, wanted) ?? "en"
  const catalogue = catalogues[language]
  if (!catalogue) return english
  return new Words(language, joined([...catalogue.element, ...catalogue.page, ...catalogue.other]))
}

/** What a page needs of a language, to be carried with it as data; undefined where there is nothing. */
export function pageTexts(language: string): Texts | undefined {
  const catalogue = catalogues[language]
  return catalogue && joined([...catalogue.element, ...catalogue.page])
}

/** What the bench as an element needs of it. */
export function elementTexts(language: string): Texts | undefined {
  const catalogue = catalogues[language]
  return catalogue && joined(catalogue.element)
}

const joined = (rooms: readonly Texts[]): Texts => Object.assign({}, ...rooms)
