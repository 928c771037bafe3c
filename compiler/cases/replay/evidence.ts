/**
 * What one record knows, ready to be asked in another order: a reading counts for the machine as it was when it was
 * taken, with its faults active or not, and so does each look for the complaint and each proof run.
 */

import type { Found } from "../../run/index.ts"
import type { CellIndex, ReadingIndex, TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Case, CaseAction } from "../record/case.ts"
import { readsOf } from "../record/graph-lookup.ts"
import { keyOf, type MachineState, type TrueMachine } from "./true-machine.ts"

const NEARLY = 1e-9

/** What came of an action that the record knows, or that follows surely. */
export interface KnownOutcome {
  readonly found: Found
  readonly inferred: boolean
}

interface TakenReading {
  /** Undefined where no test took it. */
  test: TestIndex | undefined
  reading: ReadingIndex
  cell: CellIndex
  status: number
}

interface TakenLook {
  key: string
  status: number
  out: number
  found: Found
  /** A walk has followed it: done again, the same work may come out otherwise. */
  used: boolean
}

/** Made once for a graph and loaded with one record after another, so that a million records leave little to clean up. */
export class Evidence {
  readonly #machine: TrueMachine
  #record: Case | undefined
  /** By reading: the answer to a told question, or -1. */
  readonly #told: (CellIndex | -1)[]
  readonly #minutes = new Map<string, number>()
  readonly #reads: TakenReading[] = []
  readonly #looks: TakenLook[] = []

  constructor(machine: TrueMachine) {
    this.#machine = machine
    this.#told = machine.machine.readings.map(() => -1)
  }

  load(record: Case): this {
    const { readings } = this.#machine.machine
    this.#record = record
    this.#reads.length = 0
    this.#looks.length = 0
    this.#told.fill(-1)
    this.#minutes.clear()
    for (const { reading, cell } of record.told) this.#told[reading] = cell
    let state = this.#machine.start(record.confirmed)
    for (const step of record.steps) {
      const { found, minutes } = step
      const key = keyOf(step)
      if (minutes !== undefined && !this.#minutes.has(key)) this.#minutes.set(key, minutes)
      if (typeof found === "string") {
        this.#looks.push({ key, status: state.status, out: state.out, found, used: false })
        state = this.#machine.after(state, step, found, step.do === "test" && step.leftIn === true)
        continue
      }
      const test = step.do === "test" ? step.test : undefined
      for (const { reading, cell } of found)
        if (at(readings, reading).told) this.#told[reading] = cell
        else this.#reads.push({ test, reading, cell, status: state.status })
    }
    return this
  }

  /** The machine as it came in. */
  get start(): MachineState {
    if (this.#record === undefined) throw new Error("No record is loaded")
    return this.#machine.start(this.#record.confirmed)
  }

  /** The cell of a reading on such a machine, best by the same test, else the first taken; -1 if the record does not know. */
  cell(test: TestIndex, reading: ReadingIndex, state: MachineState): CellIndex | -1 {
    if (at(this.#machine.machine.readings, reading).told) return at(this.#told, reading)
    const speaking = this.#machine.speaking(state, reading)
    let first: CellIndex | -1 = -1
    for (const taken of this.#reads) {
      if (taken.reading !== reading || (taken.status & speaking) !== (state.status & speaking)) continue
      if (taken.test === test) return taken.cell
      if (first === -1) first = taken.cell
    }
    return first
  }

  /**
   * What came of an action as recorded or, of what is looked at, as it follows surely from what was confirmed. `follow`:
   * the walk goes on from it, so that the next time is another one.
   */
  outcome(action: CaseAction, state: MachineState, follow = false): KnownOutcome | undefined {
    if (action.do === "takeOut" || action.do === "keep") return { found: "done", inferred: false }
    const reads = action.do === "test" ? readsOf(this.#machine.graph, action.test) : undefined
    if (action.do === "test" && reads) {
      const cells: CellIndex[] = []
      for (const reading of reads) {
        const cell = this.cell(action.test, reading, state)
        if (cell === -1) return undefined
        cells.push(cell)
      }
      return { found: cells, inferred: false }
    }
    const recorded = this.#recorded(keyOf(action), state)
    if (recorded !== undefined) {
      if (follow) recorded.used = true
      return { found: recorded.found, inferred: false }
    }
    const found = action.do === "close" ? this.#sureProof(state) : this.#sureLook(action, state)
    return found && { found, inferred: true }
  }

  /** The same work on such a machine, in the order of the record. */
  #recorded(key: string, { status, out }: MachineState): TakenLook | undefined {
    return this.#looks.find(
      (look) => !look.used && look.key === key && look.status === status && look.out === out,
    )
  }

  #sureLook(action: CaseAction, state: MachineState): Found | undefined {
    const gone = this.#machine.step(state, action).chance("gone")
    if (gone === undefined) return undefined
    return gone > 1 - NEARLY ? "gone" : gone < NEARLY ? "stays" : undefined
  }

  /** A machine that is whole passes: it left the shop. One that surely shows the complaint does not. */
  #sureProof(state: MachineState): Found | undefined {
    const holds = this.#machine.step(state, { do: "close" }).chance("holds")
    if (holds === undefined) return undefined
    if (holds < NEARLY) return "fails"
    return state.whole > 1 - NEARLY ? "holds" : undefined
  }

  /** Minutes as recorded for this kind of work, its look included. */
  minutes(action: CaseAction): number | undefined {
    return this.#minutes.get(keyOf(action))
  }
}
