/** How numbers, shares, amounts and times are said: in English, where no other words are given. */

import * as m from "./compiled/common.ts"
import { english, type Words } from "./words.ts"

export { COUNT } from "./number-texts.ts"

export const { amountText, duration, grouped, minutes, money, percent, rounded, withUnit } = english

/** `1 case`, `1,234 cases`, in figures; for running text `counted` spells small numbers out. In English only. */
export function countOf(count: number, noun: string, plural = `${noun}s`): string {
  return `${grouped(count)} ${count === 1 ? noun : plural}`
}

/** A difference: `+1.2`, `−0.4` with the minus of typography, and `0.0` without a sign. */
export function signed(value: number, decimals = 1, words: Words = english): string {
  const size = Math.abs(value).toFixed(decimals)
  const text = words.digits(size)
  return Number(size) === 0 ? text : `${value < 0 ? "−" : "+"}${text}`
}

/** A chance for a glance: `42 %`, and one decimal below 10 %. */
export function roughPercent(chance: number, words: Words = english): string {
  const value = chance >= 0.0995 ? Math.round(chance * 100) : Math.round(chance * 1000) / 10
  return words.say(m.percentFigure, { figure: words.number(value, 0, 1) })
}

/** A share with a fixed number of decimals, for columns: `4.0 %`. */
export function fixedPercent(share: number, decimals = 1, words: Words = english): string {
  return words.say(m.percentFigure, { figure: words.digits((share * 100).toFixed(decimals)) })
}

/** An amount with its cents in any case, for columns: `20.00 EUR`. */
export function fixedMoney(amount: number, currency: string, words: Words = english): string {
  return words.say(m.moneyFigure, { amount: fixedAmount(amount, words), currency })
}

/** The same without the currency, which the head of the column names. */
export function fixedAmount(amount: number, words: Words = english): string {
  return words.number(amount + 0, 2, 2)
}

/** A day that is written `2026-11-28`: `28 Nov 2026`. */
export function dayText(day: string, { locale }: Words = english): string {
  const [year = 0, month = 0, date = 0] = day.split("-").map(Number)
  const format = new Intl.DateTimeFormat(locale, { dateStyle: "medium", timeZone: "UTC" })
  return format.format(Date.UTC(year, month - 1, date))
}

/** How two amounts differ: `3.20 EUR more`, `3.20 EUR less`, `no change`. */
export function moneyChange(difference: number, currency: string, words: Words = english): string {
  if (Math.abs(difference) < 0.005) return words.say(m.noChange)
  const amount = words.money(Math.abs(difference), currency)
  return words.say(difference > 0 ? m.moneyMore : m.moneyLess, { amount })
}
