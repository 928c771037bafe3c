import * as m from "./compiled/common.ts"
import type { Message } from "./message.ts"

/** The unit of what is merely counted. It is there for authors and other tools: people read the number alone. */
export const COUNT = "count"

/**
 * How numbers, shares, amounts, times, and lists are said in a language: what the bench needs, which every page carries.
 * `figures.ts` has the rest. Its functions can be passed on by themselves.
 */
export abstract class Figures {
  /** What `Intl` is asked for. */
  readonly locale: string
  /** Making one takes far longer than using it. */
  readonly #formats = new Map<string, Intl.NumberFormat>()

  constructor(locale: string) {
    this.locale = locale
  }

  abstract say<A>(message: Message<A>, ...args: A extends undefined ? [] : [args: A]): string

  /** A count: `1,234`. */
  readonly grouped = (count: number): string => this.number(count, 0, 3, true)

  /** At most so many decimals, without trailing zeros: `4`, `4.5`. */
  readonly rounded = (value: number, decimals = 1): string => this.#plain(Number(value.toFixed(decimals)) + 0)

  /**
   * A chance of 1 as `42.3 %`, `4.2 %` or `0.042 %`: one decimal from 10 % on, two significant digits below. Only what is
   * impossible is 0 %, and only what is sure is 100 %.
   */
  readonly percent = (chance: number): string => {
    const value = chance * 100
    if (value > 0 && value < 0.001) return this.say(m.percentBelow, { figure: this.#plain(0.001) })
    if (value >= 99.95 && value < 100) return this.say(m.percentAbove, { figure: this.#plain(99.9) })
    return this.#percent(value >= 10 ? Math.round(value * 10) / 10 : Number(value.toPrecision(2)))
  }

  /** An amount as `12 EUR` or `12.50 EUR`: cents only if there are any. */
  readonly money = (amount: number, currency: string): string =>
    this.say(m.moneyFigure, { amount: this.amountText(amount), currency })

  /** The amount alone, for a column or a sentence that names the currency elsewhere. */
  readonly amountText = (amount: number): string => {
    const cents = Math.round(amount * 100) / 100 + 0
    const decimals = Number.isInteger(cents) ? 0 : 2
    return this.number(cents, decimals, decimals, true)
  }

  /** A time at the bench as `4 min` or `4.5 min`, to the tenth. */
  readonly minutes = (time: number): string => this.say(m.minutesFigure, { figure: this.rounded(time) })

  /** A time that may be long, given in minutes: `90 min`, `3 h`, `36.5 h`. For waiting. */
  readonly duration = (time: number): string =>
    time < 120 ? this.minutes(time) : this.say(m.hoursFigure, { figure: this.rounded(time / 60) })

  /** `24 V`; of a count the number alone. */
  readonly withUnit = (value: number | string, unit: string | undefined): string => {
    const text = this.digits(String(value))
    return unit === undefined || unit === COUNT ? text : `${text} ${unit}`
  }

  /** A number that is written with a point, and a unit after it if there is one, with the same decimals; other texts as they are. */
  readonly digits = (text: string): string => {
    const [number, decimals = ""] = /^-?\d{1,15}(?:\.(\d{1,15}))?(?![\d.e])/.exec(text) ?? []
    if (number === undefined) return text
    return `${this.number(Number(number), decimals.length, decimals.length, false)}${text.slice(number.length)}`
  }

  /** `a`, `a and b`, `a, b and c`; with `or` instead. */
  readonly listed = (items: readonly string[], last: "and" | "or" = "and"): string => {
    const type = last === "and" ? "conjunction" : "disjunction"
    return new Intl.ListFormat(this.locale, { type }).format(items)
  }

  /** `a`, `a or b`, `a or b or c`: for things that have commas of their own. */
  readonly alternatives = (items: readonly string[]): string =>
    items.length < 2 ? (items[0] ?? "") : items.reduce((one, other) => this.say(m.either, { one, other }))

  #percent(value: number): string {
    return this.say(m.percentFigure, { figure: this.#plain(value) })
  }

  #plain(value: number): string {
    return this.number(value, 0, 20, false)
  }

  /** With so many decimals at least and at most, and thousands set off or not. */
  number(value: number, least: number, most: number, isGrouped = true): string {
    const key = `${least} ${most} ${isGrouped}`
    const known = this.#formats.get(key)
    if (known) return known.format(value)
    const format = new Intl.NumberFormat(this.locale, {
      minimumFractionDigits: least,
      maximumFractionDigits: most,
      useGrouping: isGrouped,
    })
    this.#formats.set(key, format)
    return format.format(value)
  }
}
