import type { Recorded } from "../../run/index.ts"
import * as m from "../../wording/compiled/sheets.ts"
import type { Words } from "../../wording/words.ts"
import { type Bill, passes } from "./bill.ts"

/** What was agreed on a job beside what is found: kept with it, and on its record. */
export interface Terms {
  /** What the owner wants to pay at most. */
  readonly ownerStopsAt?: number | undefined
  /** The job was ended because going on would cost more than the machine is worth to its owner. */
  readonly notWorthRepairing?: true | undefined
}

export function withTerms(record: Recorded, { ownerStopsAt, notWorthRepairing }: Terms): Recorded {
  return {
    ...record,
    ...(ownerStopsAt === undefined ? {} : { owner_stops_at: ownerStopsAt }),
    ...(notWorthRepairing ? { not_worth_repairing: true } : {}),
  }
}

/** An amount above 0 as somebody types it. */
export function amountIn(text: string): number | undefined {
  const amount = /^\d{1,9}(?:[.,]\d{1,2})?$/.test(text) ? Number(text.replace(",", ".")) : 0
  return amount > 0 ? amount : undefined
}

/** That a bill passes what the owner wants to pay, or may; undefined where it doesn't. */
export function passesText(bill: Bill, amount: number, currency: string, words: Words): string | undefined {
  const limit = words.money(amount, currency)
  switch (passes(bill, amount)) {
    case "spent":
      return words.say(m.billPassed, { limit })
    case "expected":
      return words.say(m.billExpectedToPass, {
        limit,
        expected: words.money(Math.round(bill.expected), currency),
      })
    case "high":
      return words.say(m.billMayPass, { limit })
    default:
      return undefined
  }
}
