import type { Graph, Session } from "../../run/index.ts"
import { type Bill, Bills, passes } from "../../ship/sheets/bill.ts"
import { amountIn, passesText, type Terms } from "../../ship/sheets/terms.ts"
import * as m from "../../wording/compiled/terminal.ts"
import type { Words } from "../../wording/words.ts"
import { UserError } from "../io/user-error.ts"

/** What the owner wants to pay at most, as `--owner-stops-at` has it. @throws UserError where it is no amount */
export function ownerLimit(text: string | undefined): number | undefined {
  if (text === undefined) return undefined
  const amount = amountIn(text)
  if (amount === undefined)
    throw new UserError(`\`${text}\` is no amount.`, "Give --owner-stops-at a number above 0, like 120.")
  return amount
}

/** The bill of the job in lines for the terminal, and whether it passes what the owner wants to pay. */
export class OwnerTalk {
  terms: Terms
  #said = ""
  readonly #graph: Graph
  readonly #bills: Bills
  readonly #words: Words

  constructor(graph: Graph, terms: Terms, words: Words) {
    this.#graph = graph
    this.#bills = new Bills(graph)
    this.terms = terms
    this.#words = words
  }

  /** For `outlook`: the whole bill, and waiting apart from work. */
  outlook(session: Session): string[] {
    const bill = this.#bills.of(session)
    const words = this.#words
    const [spent, expected] = [this.#money(bill.spent), this.#money(bill.expected)]
    const total =
      bill.high === undefined
        ? words.say(m.ownersBill, { spent, expected })
        : words.say(m.ownersBillHigh, { spent, expected, high: this.#money(bill.high) })
    return [
      ...(bill.waits === undefined || bill.waits === 0
        ? []
        : [`  ${words.say(m.timeOfWaiting, { time: words.duration(bill.waits) })}`]),
      `  ${total}`,
      ...this.#warning(bill),
    ]
  }

  /** That the bill may pass what the owner wants to pay, once for each way in which it may. */
  alarm(session: Session): string[] {
    if (this.terms.ownerStopsAt === undefined || session.next.do === "end") return []
    const bill = this.#bills.of(session)
    const passed = passes(bill, this.terms.ownerStopsAt) ?? ""
    if (passed === this.#said) return []
    this.#said = passed
    return this.#warning(bill)
  }

  #warning(bill: Bill): string[] {
    const limit = this.terms.ownerStopsAt
    const text = limit === undefined ? undefined : passesText(bill, limit, this.#graph.money, this.#words)
    return text === undefined ? [] : [`  ! ${text} ${this.#words.say(m.askOwner)}`]
  }

  #money(amount: number): string {
    return this.#words.money(Math.round(amount), this.#graph.money)
  }
}
