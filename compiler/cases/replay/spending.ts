/** What a job takes: minutes of work, and money. */

import type { Found } from "../../run/index.ts"
import type { FaultIndex, PlaceIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Case, CaseAction, Confirmed } from "../record/case.ts"
import { isBoughtInVain } from "./judge.ts"
import type { MachineState, TrueMachine } from "./true-machine.ts"

export interface Spending {
  readonly minutes: number
  /** Work, parts and waiting; no comeback and no handing over. */
  readonly money: number
  /** Parts bought, in order. */
  readonly bought: readonly PlaceIndex[]
  /** Those of them in which no confirmed fault lies, and what they cost. */
  readonly inVain: number
  readonly inVainMoney: number
}

/** What an action takes in this state of the machine; `recorded`: the minutes that it took, its look included. */
export function costOf(
  machine: TrueMachine,
  state: MachineState,
  action: CaseAction,
  found: Found,
  recorded: number | undefined,
): Pick<Spending, "minutes" | "money"> {
  const { bench, model } = machine.graph
  const step = machine.step(state, action)
  const minutes = recorded ?? step.minutes + step.tries(found) * model.complaint.minutes
  return { minutes, money: step.cost + ((minutes - step.minutes) * bench) / 60 }
}

/** The part that an action buys, if it does. */
export function boughtBy(action: CaseAction): PlaceIndex | undefined {
  return action.do === "keep" || action.do === "replace" ? action.part : undefined
}

/** Adds up a job step by step. */
export class Account {
  readonly #machine: TrueMachine
  readonly #confirmed: Confirmed
  readonly #bought: PlaceIndex[] = []
  #minutes = 0
  #money = 0
  #inVain = 0
  #inVainMoney = 0

  constructor(machine: TrueMachine, confirmed: Confirmed) {
    this.#machine = machine
    this.#confirmed = confirmed
  }

  /** As `costOf`. */
  spend(state: MachineState, action: CaseAction, found: Found, recorded: number | undefined): void {
    const { minutes, money } = costOf(this.#machine, state, action, found, recorded)
    this.#minutes += minutes
    this.#money += money
    const part = boughtBy(action)
    if (part !== undefined) this.#buy(part)
  }

  #buy(part: PlaceIndex): void {
    const { graph } = this.#machine
    this.#bought.push(part)
    if (!isBoughtInVain(graph, this.#confirmed, part)) return
    this.#inVain++
    this.#inVainMoney += at(graph.places, part).price ?? 0
  }

  /** Minutes of work that no step accounts for. */
  addMinutes(minutes: number): void {
    this.#minutes += minutes
    this.#money += (minutes * this.#machine.graph.bench) / 60
  }

  get total(): Spending {
    return {
      minutes: this.#minutes,
      money: this.#money,
      bought: this.#bought,
      inVain: this.#inVain,
      inVainMoney: this.#inVainMoney,
    }
  }
}

/**
 * What the record itself spent. Records of version 1 end when the fault is found: what is confirmed and still in the
 * machine is charged with its cheapest repair, and a job that ended without a proof run with the one that counts in it. A
 * machine that came back had neither.
 */
export function recordedSpending(machine: TrueMachine, record: Case): Spending {
  const { graph } = machine
  const account = new Account(machine, record.confirmed)
  let state = machine.start(record.confirmed)
  let hasEnded = record.cameBack
  account.addMinutes(record.otherMinutes)
  for (const { reading } of record.told) {
    const test = graph.tests.findIndex(
      ({ kind }, t) => kind === "told" && at(graph.model.tests, t).reads?.[0] === reading,
    )
    if (test !== -1) account.spend(state, { do: "test", test }, [], undefined)
  }
  for (const step of record.steps) {
    const found = typeof step.found === "string" ? step.found : []
    account.spend(state, step, found, step.minutes)
    state = machine.after(state, step, found, step.do === "test" && step.leftIn === true)
    hasEnded ||= step.do === "handOver" || found === "holds"
  }
  if (hasEnded || record.confirmed.kind !== "faults") return account.total
  for (const [i, fault] of record.confirmed.faults.entries()) {
    // Certainly still there, or only out of the way.
    const status = (state.status >> (2 * i)) & 3
    const isOut = ((state.out >> i) & 1) === 1
    if (status !== 0 && !isOut) continue
    const action = cheapestRepair(machine, state, fault)
    if (action === undefined) continue
    const found = action.do === "keep" ? "done" : "gone"
    account.spend(state, action, found, undefined)
    state = machine.after(state, action, found)
  }
  account.spend(state, { do: "close" }, "holds", undefined)
  return account.total
}

function cheapestRepair(
  machine: TrueMachine,
  state: MachineState,
  fault: FaultIndex,
): CaseAction | undefined {
  const { graph } = machine
  const { place } = at(graph.faults, fault)
  if (state.job.fitted.has(place)) return { do: "keep", part: place }
  const repairs: CaseAction[] = [
    ...(graph.model.fix[fault] ? [{ do: "fix", fault } as const] : []),
    ...(graph.model.replace[place] ? [{ do: "replace", part: place } as const] : []),
  ]
  const cost = (action: CaseAction) => machine.step(state, action).cost
  return repairs.sort((a, b) => cost(a) - cost(b))[0]
}
