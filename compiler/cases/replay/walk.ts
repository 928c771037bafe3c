/**
 * One case walked through the compiled graph. What the record knows is followed as recorded; what came of a swap or a
 * redoing that the record does not have is inferred where it follows surely from the confirmed fault. From the first
 * finding that neither gives, the case is open: it goes on over all outcomes, each with its chance given the fault.
 */
import type { Found, Graph } from "../../run/index.ts"
import type { Case } from "../record/case.ts"
import { advised } from "./continue-advised.ts"
import { type Ends, spread } from "./continue-open.ts"
import { Known } from "./evidence.ts"
import { follow, followCell, type Track } from "./graph-index.ts"
import { type Ending, judge } from "./judge.ts"
import { type Machine, untouched } from "./true-machine.ts"

export interface Walk {
  /** Numbers of the edges taken, as far as the record leads. */
  readonly edges: readonly number[]
  /** How many steps were inferred. */
  readonly inferred: number
  /** The graph did not plan that far: the runner went on from the model. */
  readonly advised: boolean
  /** Told questions, tests and putting back, as far as the record leads; minutes and money without any loss. */
  readonly minutes: number
  readonly work: number
  readonly ending: Ending
  /** Where the record ended first: the step it does not know, and how the case would end, by chance. */
  readonly open?: { readonly test: number; readonly putBack: boolean; readonly ends: Ends }
}

/** A step of a walk that the record knows, or that follows surely. */
export interface Told {
  readonly found: Found
  readonly machine: Machine
  readonly inferred: boolean
}

/** What is written down while walking. */
export class Trail {
  readonly #track: Track
  readonly known: Known
  machine: Machine = untouched
  /** Numbers of the edges taken in the graph. */
  readonly edges: number[] = []
  inferred = 0
  minutes = 0
  work = 0

  constructor(track: Track, known: Known) {
    this.#track = track
    this.known = known
  }

  add(test: number, putBack: boolean, told: Told): void {
    this.spend(test, putBack)
    if (told.inferred) this.inferred++
    this.machine = told.machine
  }

  spend(test: number, putBack: boolean): void {
    const { graph } = this.#track
    const spent = this.known.minutes(test, putBack)
    this.minutes += spent
    this.work += graph.tests[test]!.cost + ((spent - graph.tests[test]!.minutes) * graph.bench) / 60
  }

  end(ending: Ending, advised = false, open?: Walk["open"]): Walk {
    const { edges, inferred, minutes, work } = this
    const walk: Walk = { edges, inferred, advised, minutes, work, ending }
    return open ? { ...walk, open } : walk
  }
}

function noneFits(test: number): Ending {
  return { kind: "handover", candidates: [], noneFits: test, listed: false }
}

const scratch = new WeakMap<Graph, Known>()

function knownOf(graph: Graph): Known {
  let known = scratch.get(graph)
  if (!known) {
    known = new Known(graph)
    scratch.set(graph, known)
  }
  return known
}

/** `carryOn`: also say how an open case would end, which takes as long again as to walk it. */
export function walk(track: Track, record: Case, carryOn = true): Walk {
  const { graph } = track
  const known = knownOf(graph).load(record)
  const trail = new Trail(track, known)
  const { edges } = trail
  for (let node = graph.start; ; ) {
    const here = graph.nodes[node]!
    if (here.do === "advise") {
      const { ending, open } = advised(track, record, trail)
      return trail.end(ending, true, open)
    }
    if (here.do !== "test") return trail.end(judge(graph, record, trail.machine, here))
    const { test } = here
    const putBack = here.putBack === true
    const single = track.single[node]!
    if (single >= 0) {
      // Most steps take one reading, and leave the machine as it is.
      const cell = known.cell(test, single, trail.machine)
      if (cell >= 0) {
        trail.spend(test, false)
        const edge = followCell(track, node, cell)
        if (edge < 0) return trail.end(noneFits(test))
        edges.push(edge)
        node = track.edges[edge]!.to
        continue
      }
    }
    const told = known.step(test, putBack, trail.machine)
    if (told === undefined) {
      if (!carryOn) return trail.end({ kind: "open" })
      const ends = spread(track, record, known, node, trail.machine)
      return trail.end({ kind: "open" }, false, { test, putBack, ends })
    }
    trail.add(test, putBack, told)
    const edge = follow(track, node, told.found)
    if (edge < 0) return trail.end(noneFits(test))
    edges.push(edge)
    node = track.edges[edge]!.to
  }
}
