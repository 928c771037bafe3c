import type { Graph, Session } from "../../run/index.ts"
import { type Bill, Bills, passes } from "../../ship/sheets/bill.ts"
import { amountIn, passesText, type Terms } from "../../ship/sheets/terms.ts"
import { duration, money } from "../../wording/figures.ts"
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

  constructor(graph: Graph, terms: Terms) {
    this.#graph = graph
    this.#bills = new Bills(graph)
    this.terms = terms
  }

  /** For `outlook`: the whole bill, and waiting apart from work. */
  outlook(session: Session): string[] {
    const bill = this.#bills.of(session)
    const high = bill.high === undefined ? "" : `, nine in ten at most ${this.#money(bill.high)}`
    return [
      ...(bill.waits === undefined || bill.waits === 0 ? [] : [`  ${duration(bill.waits)} of waiting`]),
      `  the owner's bill: ${this.#money(bill.spent)} so far, about ${this.#money(bill.expected)} in the end${high}`,
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
    const text = limit === undefined ? undefined : passesText(bill, limit, this.#graph.money)
    return text === undefined
      ? []
      : [`  ! ${text} Ask, with \`ruleout sheet owner\`; or type not worth repairing.`]
  }

  #money(amount: number): string {
    return money(Math.round(amount), this.#graph.money)
  }
}
