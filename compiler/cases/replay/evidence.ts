/**
 * What one record knows, ready to be asked in another order: a reading counts for the machine as it was when it was
 * taken (with its fault, without it, or nobody knows), and so does each look for the complaint.
 */
import type { Found, Graph } from "../../run/index.ts"
import type { Case } from "../record/case.ts"
import { readsOf } from "../record/graph-lookup.ts"
import {
  afterLook,
  differs,
  goneChance,
  type Machine,
  type Status,
  status,
  untouched,
} from "./true-machine.ts"

const nearly = 1e-9

/** A step that the record knows, or that follows surely. */
export interface KnownStep {
  readonly found: Found
  readonly machine: Machine
  readonly inferred: boolean
}

interface Read {
  test: number
  reading: number
  cell: number
  status: Status
}

interface Look {
  test: number
  putBack: boolean
  out: boolean
  status: Status
  found: "gone" | "stays"
}

/** Made once for a graph and loaded with one record after another: a million records leave nothing behind to clear up. */
export class Evidence {
  readonly #graph: Graph
  #record: Case | undefined
  /** By reading: the answer to a told question, or -1. */
  readonly #told: Int32Array
  /** By test, and by putting back what it fitted: minutes as recorded, or less than 0. */
  readonly #minutes: Float64Array
  readonly #reads: Read[] = []
  #readCount = 0
  readonly #looks: Look[] = []
  #lookCount = 0

  constructor(graph: Graph) {
    this.#graph = graph
    this.#told = new Int32Array(graph.readings.length)
    this.#minutes = new Float64Array(2 * graph.tests.length)
  }

  load(record: Case): this {
    this.#record = record
    this.#readCount = 0
    this.#lookCount = 0
    this.#told.fill(-1)
    this.#minutes.fill(-1)
    for (const { reading, cell } of record.told) this.#told[reading] = cell
    let machine = untouched
    for (const { test, putBack, found, minutes } of record.steps) {
      const slot = test === undefined ? -1 : 2 * test + (putBack ? 1 : 0)
      if (minutes !== undefined && slot >= 0 && this.#minutes[slot]! < 0) this.#minutes[slot] = minutes
      if (typeof found === "string") {
        if (test === undefined) continue
        this.#noteLook(test, putBack, machine, found)
        machine = afterLook(this.#graph, record.truth, machine, test, putBack, found)
      } else
        for (const { reading, cell } of found)
          if (this.#graph.readings[reading]!.told) this.#told[reading] = cell
          else this.#noteRead(test ?? -1, reading, cell, status(machine))
    }
    return this
  }

  #noteRead(test: number, reading: number, cell: number, status: Status): void {
    const slot = this.#reads[this.#readCount++]
    if (slot === undefined) {
      this.#reads.push({ test, reading, cell, status })
      return
    }
    slot.test = test
    slot.reading = reading
    slot.cell = cell
    slot.status = status
  }

  #noteLook(test: number, putBack: boolean, machine: Machine, found: "gone" | "stays"): void {
    const slot = this.#looks[this.#lookCount++]
    const before = status(machine)
    if (slot === undefined) {
      this.#looks.push({ test, putBack, out: machine.out, status: before, found })
      return
    }
    slot.test = test
    slot.putBack = putBack
    slot.out = machine.out
    slot.status = before
    slot.found = found
  }

  /** The cell of a reading on such a machine, best by the same test, else the first taken; -1 if the record does not know. */
  cell(test: number, reading: number, machine: Machine): number {
    if (this.#graph.readings[reading]!.told) return this.#told[reading]!
    const { truth } = this.#record!
    const wanted = status(machine)
    let same: boolean | undefined
    let first = -1
    for (let i = 0; i < this.#readCount; i++) {
      const taken = this.#reads[i]!
      if (taken.reading !== reading) continue
      if (taken.status !== wanted) {
        same ??= truth.known === "listed" && !differs(this.#graph, truth.fault, reading)
        if (!same) continue
      }
      if (taken.test === test) return taken.cell
      if (first < 0) first = taken.cell
    }
    return first
  }

  /** The step as recorded or, a swap or a redoing, as it follows surely from the confirmed fault. */
  step(test: number, putBack: boolean, machine: Machine): KnownStep | undefined {
    const reads = readsOf(this.#graph, test)
    if (reads) {
      const cells: number[] = []
      for (const reading of reads) {
        const cell = this.cell(test, reading, machine)
        if (cell < 0) return undefined
        cells.push(cell)
      }
      return { found: cells, machine, inferred: false }
    }
    const { truth } = this.#record!
    const recorded = this.#look(test, putBack, machine)
    const found = recorded ?? sure(goneChance(this.#graph, truth, machine, test, putBack))
    if (found === undefined) return undefined
    const after = afterLook(this.#graph, truth, machine, test, putBack, found)
    return { found, machine: after, inferred: recorded === undefined }
  }

  /** What came of the same work on such a machine. */
  #look(test: number, putBack: boolean, machine: Machine): "gone" | "stays" | undefined {
    for (let i = 0; i < this.#lookCount; i++) {
      const done = this.#looks[i]!
      if (
        done.test === test &&
        done.putBack === putBack &&
        done.out === machine.out &&
        done.status === status(machine)
      )
        return done.found
    }
    return undefined
  }

  /** Minutes of a step: those of the record if it was done there, else the test's own. */
  minutes(test: number, putBack: boolean): number {
    const recorded = this.#minutes[2 * test + (putBack ? 1 : 0)]!
    return recorded < 0 ? this.#graph.tests[test]!.minutes : recorded
  }
}

function sure(gone: number | undefined): "gone" | "stays" | undefined {
  if (gone === undefined) return undefined
  return gone > 1 - nearly ? "gone" : gone < nearly ? "stays" : undefined
}
