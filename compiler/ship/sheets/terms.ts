import type { Recorded } from "../../run/index.ts"
import { money } from "../../wording/figures.ts"
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
export function passesText(bill: Bill, limit: number, currency: string): string | undefined {
  const passed = passes(bill, limit)
  const amount = money(limit, currency)
  const says = {
    spent: `The bill has passed ${amount}, at which the owner stops.`,
    expected: `The bill is expected to pass ${amount}, at which the owner stops: about ${money(Math.round(bill.expected), currency)}.`,
    high: `The bill may pass ${amount}, at which the owner stops: more than one in ten of such jobs do.`,
  }
  return passed && says[passed]
}
