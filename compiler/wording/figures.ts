/** How numbers, shares, amounts and times are said. Thousands are set off with a comma everywhere. */

/** A count: `1,234`. */
export function grouped(count: number): string {
  return count.toLocaleString("en")
}

/** `1 case`, `1,234 cases`, in figures; for running text `counted` spells small numbers out. */
export function countOf(count: number, noun: string, plural = `${noun}s`): string {
  return `${grouped(count)} ${count === 1 ? noun : plural}`
}

/** At most so many decimals, without trailing zeros: `4`, `4.5`. */
export function rounded(value: number, decimals = 1): string {
  return String(Number(value.toFixed(decimals)) + 0)
}

/** A difference: `+1.2`, `−0.4` with the minus of typography, and `0.0` without a sign. */
export function signed(value: number, decimals = 1): string {
  const text = Math.abs(value).toFixed(decimals)
  if (Number(text) === 0) return text
  return `${value < 0 ? "−" : "+"}${text}`
}

/**
 * A chance of 1 as `42.3 %`, `4.2 %` or `0.042 %`: one decimal from 10 % on, two significant digits below. Only what is
 * impossible is 0 %, and only what is sure is 100 %.
 */
export function percent(chance: number): string {
  const value = chance * 100
  if (value > 0 && value < 0.001) return "< 0.001 %"
  if (value >= 99.95 && value < 100) return "> 99.9 %"
  return `${value >= 10 ? Math.round(value * 10) / 10 : Number(value.toPrecision(2))} %`
}

/** The same for a glance: `42 %`, and one decimal below 10 %. */
export function roughPercent(chance: number): string {
  return `${chance >= 0.0995 ? Math.round(chance * 100) : Math.round(chance * 1000) / 10} %`
}

/** A share with a fixed number of decimals, for columns: `4.0 %`. */
export function fixedPercent(share: number, decimals = 1): string {
  return `${(share * 100).toFixed(decimals)} %`
}

/** An amount as `12 EUR` or `12.50 EUR`: cents only if there are any. */
export function money(amount: number, currency: string): string {
  return `${amountText(amount)} ${currency}`
}

/** The amount alone, for a column or a sentence that names the currency elsewhere. */
export function amountText(amount: number): string {
  const cents = Math.round(amount * 100) / 100 + 0
  const decimals = Number.isInteger(cents) ? 0 : 2
  return cents.toLocaleString("en", { minimumFractionDigits: decimals, maximumFractionDigits: decimals })
}

/** An amount with its cents in any case, for columns: `20.00 EUR`. */
export function fixedMoney(amount: number, currency: string): string {
  return `${fixedAmount(amount)} ${currency}`
}

/** The same without the currency, which the head of the column names. */
export function fixedAmount(amount: number): string {
  return (amount + 0).toLocaleString("en", { minimumFractionDigits: 2, maximumFractionDigits: 2 })
}

/** How two amounts differ: `3.20 EUR more`, `3.20 EUR less`, `no change`. */
export function moneyChange(difference: number, currency: string): string {
  if (Math.abs(difference) < 0.005) return "no change"
  return `${money(Math.abs(difference), currency)} ${difference > 0 ? "more" : "less"}`
}

/** The unit of what is merely counted. It is there for authors and other tools: people read the number alone. */
export const COUNT = "count"

/** `24 V`; of a count the number alone. */
export function withUnit(value: number | string, unit: string | undefined): string {
  return unit === undefined || unit === COUNT ? `${value}` : `${value} ${unit}`
}

/** A time at the bench as `4 min` or `4.5 min`, to the tenth. */
export function minutes(time: number): string {
  return `${rounded(time)} min`
}

/** A time that may be long, given in minutes: `90 min`, `3 h`, `36.5 h`. For waiting. */
export function duration(time: number): string {
  return time < 120 ? minutes(time) : `${rounded(time / 60)} h`
}
