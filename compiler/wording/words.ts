import { type Grammar, type Message, type Texts, textOf } from "./message.ts"
import { Figures } from "./number-texts.ts"

/** Scripts that run from right to left, of the languages that are written today. */
const RIGHT_TO_LEFT = /^(?:Adlm|Arab|Hebr|Nkoo|Rohg|Syrc|Thaa)$/

/**
 * What the tool says in one language: its messages, and figures as that language writes them. Handed down to whatever says
 * something. What `texts` lacks is said in English.
 */
export class Words extends Figures {
  /** Its tag, as BCP 47 writes it. */
  readonly language: string
  readonly direction: "ltr" | "rtl"
  readonly #texts: Texts
  readonly #grammar: Grammar

  constructor(language: string, texts: Texts = {}) {
    // Our English puts no comma before the last `and`.
    const locale = language === "en" ? "en-GB" : language
    super(locale)
    const plurals = new Intl.PluralRules(locale)
    const isRightToLeft = RIGHT_TO_LEFT.test(new Intl.Locale(language).maximize().script ?? "")
    this.language = language
    this.direction = isRightToLeft ? "rtl" : "ltr"
    this.#texts = texts
    this.#grammar = {
      number: this.grouped,
      plural: (value) => plurals.select(value),
      // First strong isolate, pop directional isolate: a label in Latin letters doesn't turn the sentence around it.
      isolated: (text) => (isRightToLeft ? `\u2068${text}\u2069` : text),
    }
  }

  say<A>([key, english]: Message<A>, ...args: A extends undefined ? [] : [args: A]): string {
    return textOf(this.#texts[key] ?? english, args[0] ?? {}, this.#grammar)
  }
}

/** Always there, and what all that authors read is in. */
export const english = new Words("en")
