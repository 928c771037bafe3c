/** How numbers, shares, amounts and times are said to those who write rulesets. Thousands are set off with a comma everywhere. */

import { english } from "./words.ts"

export { COUNT } from "./number-texts.ts"

export const {
  amountText,
  duration,
  fixedAmount,
  fixedMoney,
  fixedPercent,
  grouped,
  minutes,
  money,
  moneyChange,
  percent,
  roughPercent,
  rounded,
  signed,
  withUnit,
} = english

/** `1 case`, `1,234 cases`, in figures; for running text `counted` spells small numbers out. */
export function countOf(count: number, noun: string, plural = `${noun}s`): string {
  return `${grouped(count)} ${count === 1 ? noun : plural}`
}
