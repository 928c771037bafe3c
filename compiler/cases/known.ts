/**
 * What one record knows, ready to be asked in another order: a reading counts for the machine as it was when it was
 * taken (with its fault, without it, or nobody knows), and so does each look for the complaint.
 */
import type { Graph } from "../run/graph.ts"
import type { Case } from "./case.ts"
import { readsOf } from "./track.ts"
import { differs, look, type Machine, type Status, status, untouched } from "./truth.ts"
import type { Told } from "./walk.ts"

const nearly = 1e-9

export class Known {
  readonly #graph: Graph
  readonly #record: Case
  readonly #told = new Map<number, number>()
  readonly #read: { test: number | undefined; reading: number; cell: number; status: Status }[] = []
  readonly #looks: { test: number; putBack: boolean; before: Machine; found: "gone" | "stays" }[] = []

  constructor(graph: Graph, record: Case) {
    this.#graph = graph
    this.#record = record
    for (const { reading, cell } of record.told) this.#told.set(reading, cell)
    let machine = untouched
    for (const { test, putBack, found } of record.steps) {
      if (typeof found === "string") {
        if (test === undefined) continue
        this.#looks.push({ test, putBack, before: machine, found })
        machine = look(graph, record.truth, machine, test, putBack).after[found]
      } else
        for (const { reading, cell } of found)
          if (graph.readings[reading]!.told) this.#told.set(reading, cell)
          else this.#read.push({ test, reading, cell, status: status(machine) })
    }
  }

  /** The cell of a reading on such a machine, best by the same test, else the first taken; -1 if the record does not know. */
  cell(test: number, reading: number, machine: Machine): number {
    if (this.#graph.readings[reading]!.told) return this.#told.get(reading) ?? -1
    const { truth } = this.#record
    const wanted = status(machine)
    const same = truth.known === "listed" && !differs(this.#graph, truth.fault, reading)
    let first = -1
    for (const taken of this.#read) {
      if (taken.reading !== reading || !(same || taken.status === wanted)) continue
      if (taken.test === test) return taken.cell
      if (first < 0) first = taken.cell
    }
    return first
  }

  /** The step as recorded or, a swap or a redoing, as it follows surely from the confirmed fault. */
  step(test: number, putBack: boolean, machine: Machine): Told | undefined {
    const reads = readsOf(this.#graph, test)
    if (reads) {
      const cells = reads.map((reading) => this.cell(test, reading, machine))
      return cells.includes(-1) ? undefined : { found: cells, machine, inferred: false }
    }
    const { gone, after } = look(this.#graph, this.#record.truth, machine, test, putBack)
    const recorded = this.#look(test, putBack, machine)
    const found = recorded ?? sure(gone)
    return found && { found, machine: after[found], inferred: recorded === undefined }
  }

  /** What came of the same work on such a machine. */
  #look(test: number, putBack: boolean, machine: Machine): "gone" | "stays" | undefined {
    for (const done of this.#looks)
      if (
        done.test === test &&
        done.putBack === putBack &&
        done.before.out === machine.out &&
        status(done.before) === status(machine)
      )
        return done.found
    return undefined
  }

  /** Minutes of a step: those of the record if it was done there, else the test's own. */
  minutes(test: number, putBack: boolean): number {
    for (const step of this.#record.steps)
      if (step.test === test && step.putBack === putBack && step.minutes !== undefined) return step.minutes
    return this.#graph.tests[test]!.minutes
  }
}

function sure(gone: number | undefined): "gone" | "stays" | undefined {
  if (gone === undefined) return undefined
  return gone > 1 - nearly ? "gone" : gone < nearly ? "stays" : undefined
}
