import { bestLanguage } from "./best-language.ts"
import { texts as germanCard } from "./compiled/card.de.ts"
import { texts as germanCommon } from "./compiled/common.de.ts"
import { texts as germanRunner } from "./compiled/runner.de.ts"
import { texts as germanSheets } from "./compiled/sheets.de.ts"
import { texts as germanTerminal } from "./compiled/terminal.de.ts"
import type { Texts } from "./message.ts"
import { english, Words } from "./words.ts"

/** The catalogues beside the English one, which stands where it is said: by language, what bench and page share, and the rest. */
const catalogues: Readonly<
  Record<string, { readonly page: readonly Texts[]; readonly other: readonly Texts[] }>
> = {
  de: { page: [germanCommon, germanRunner, germanSheets], other: [germanCard, germanTerminal] },
}

/** The languages that the tool's own words are in. */
export const LANGUAGES: readonly string[] = ["en", ...Object.keys(catalogues)]

/** The words in the language that suits best, of some tags in the order of preference; English where none does. */
export function wordsOf(...wanted: readonly string[]): Words {
  const language = bestLanguage(LANGUAGES, wanted) ?? "en"
  const catalogue = catalogues[language]
  return catalogue ? new Words(language, Object.assign({}, ...catalogue.page, ...catalogue.other)) : english
}

/** What a page or an element needs of a language, to be carried with it as data; undefined where there is nothing. */
export function pageTexts(language: string): Texts | undefined {
  const catalogue = catalogues[language]
  return catalogue && Object.assign({}, ...catalogue.page)
}
