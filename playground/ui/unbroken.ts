import type { Words } from "../../compiler/wording/words.ts"

const joined = (text: string) => text.replaceAll(" ", "\u00a0")

/** The same words, from now on with figures that don't break at the end of a line. */
export function unbroken(words: Words): Words {
  const { percent, money, minutes, duration } = words
  return Object.assign(words, {
    percent: (chance: number) => joined(percent(chance)),
    money: (amount: number, currency: string) => joined(money(amount, currency)),
    minutes: (time: number) => joined(minutes(time)),
    duration: (time: number) => joined(duration(time)),
  })
}
