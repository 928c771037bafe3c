import * as wording from "../../compiler/wording/figures.ts"

/** Figures as the page shows them: worded as everywhere, with spaces that don't break. */

const unbroken = (text: string) => text.replaceAll(" ", "\u00a0")

export const percent = (chance: number): string => unbroken(wording.percent(chance))

export const money = (amount: number, currency: string): string => unbroken(wording.money(amount, currency))

export const minutes = (time: number): string => unbroken(wording.minutes(time))

/** A time that may be long, as of waiting. */
export const duration = (time: number): string => unbroken(wording.duration(time))
