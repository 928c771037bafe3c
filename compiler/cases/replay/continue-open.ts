/** An open case carried on: over all outcomes that agree with what the record knows, each with its chance. */

import type { GraphEdge, GraphStep } from "../../run/graph.ts"
import type { NodeIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Case } from "../record/case.ts"
import { readsOf } from "../record/graph-lookup.ts"
import type { Evidence } from "./evidence.ts"
import { edgeFor, edgesOf, type GraphIndex } from "./graph-index.ts"
import type { MachineState } from "./true-machine.ts"

/** Chances of the endings, of 1; `notFollowed` where the graph does not plan, or a branch was too unlikely to follow. */
export interface Ends {
  fixed: number
  comesBack: number
  handedOver: number
  notFollowed: number
}

export const noEnds = (): Ends => ({ fixed: 0, comesBack: 0, handedOver: 0, notFollowed: 0 })

/** A branch with less chance than this is not followed. */
const NEGLIGIBLE = 1e-4

const NEARLY = 1e-9

/** A machine that comes to a node, and its share of the case. */
interface Arrival {
  readonly state: MachineState
  readonly key: string
  weight: number
}

export function continueOpen(
  index: GraphIndex,
  record: Case,
  evidence: Evidence,
  node: NodeIndex,
  state: MachineState,
): Ends {
  return new OpenWalk(index, record, evidence).from(node, state)
}

class OpenWalk {
  readonly #index: GraphIndex
  readonly #record: Case
  readonly #evidence: Evidence
  readonly #ends = noEnds()
  /** By rank of the node: ways that meet in the same state of the machine go on as one. */
  readonly #arrivals: (Arrival[] | undefined)[] = []

  constructor(index: GraphIndex, record: Case, evidence: Evidence) {
    this.#index = index
    this.#record = record
    this.#evidence = evidence
  }

  /** Takes every node after all that lead to it. */
  from(start: NodeIndex, state: MachineState): Ends {
    const { graph, rank, ranked } = this.#index
    this.#arrive(start, state, 1)
    for (let r = at(rank, start); r < this.#arrivals.length; r++) {
      const node = at(ranked, r)
      const here = at(graph.nodes, node)
      for (const { state, weight } of this.#arrivals[r] ?? []) {
        if (here.do === "handover") this.#ends.handedOver += weight
        else if (here.do === "advise" || weight < NEGLIGIBLE) this.#ends.notFollowed += weight
        else this.#step(node, here, state, weight)
      }
    }
    return this.#ends
  }

  #arrive(to: NodeIndex | undefined, state: MachineState, weight: number): void {
    if (to === undefined) {
      // Without a confirmed fault nobody can tell whether the machine is whole.
      const { whole } = state
      if (Number.isNaN(whole)) this.#ends.notFollowed += weight
      else {
        this.#ends.fixed += weight * whole
        this.#ends.comesBack += weight * (1 - whole)
      }
      return
    }
    const { rank } = this.#index
    const key = keyOf(state)
    const there = this.#arrivals[at(rank, to)]
    const same = there?.find((each) => each.key === key)
    if (same) same.weight += weight
    else if (there) there.push({ state, key, weight })
    else this.#arrivals[at(rank, to)] = [{ state, key, weight }]
  }

  #step(node: NodeIndex, here: GraphStep, state: MachineState, weight: number): void {
    const { trueMachine, edges } = this.#index
    const known = this.#evidence.outcome(here, state)
    if (known) {
      const edge = edges[edgeFor(this.#index, node, known.found)]
      if (!edge) this.#ends.handedOver += weight
      else this.#arrive(edge.to, trueMachine.after(state, here, known.found, edge.leaveIn === true), weight)
      return
    }
    const branches =
      here.do === "test" && readsOf(this.#index.graph, here.test)
        ? this.#readings(here, state)
        : this.#looks(here, state)
    let left = 1
    for (const { edge, chance, after } of branches) {
      left -= chance
      if (chance > 0) this.#arrive(edge.to, after(), weight * chance)
    }
    // What the machine may show and no edge waits for: no state fits there.
    if (left > NEARLY) this.#ends.handedOver += weight * left
  }

  /** The graph's own chances, where nothing is known of the machine. */
  #looks(here: GraphStep, state: MachineState): Branch[] {
    const { trueMachine } = this.#index
    const step = trueMachine.step(state, here)
    return here.edges.map((edge) => ({
      edge,
      chance: step.chance(edge.on) ?? edge.chance,
      after: () => trueMachine.after(state, here, edge.on, edge.leaveIn === true),
    }))
  }

  #readings(here: GraphStep & { readonly do: "test" }, state: MachineState): Branch[] {
    const { trueMachine, graph, retaken } = this.#index
    const reads = readsOf(graph, here.test) ?? []
    const known = reads.map((reading) => this.#evidence.cell(here.test, reading, state))
    const isUnknown = this.#record.confirmed.kind === "unknown"
    const matters = state.hypotheses.length > 1 || reads.some((reading) => retaken.has(reading))
    const branches = edgesOf(here).map((edge): Branch => {
      const cells = typeof edge.on === "string" ? [] : edge.on
      let chance = isUnknown ? edge.chance : 1
      cells.forEach((cell, i) => {
        if (known[i] !== -1) chance *= cell === known[i] ? 1 : 0
        else chance *= trueMachine.cellChance(state, at(reads, i), cell) ?? 1
      })
      return { edge, chance, after: () => (matters ? trueMachine.observed(state, reads, cells) : state) }
    })
    if (!isUnknown) return branches
    const sum = branches.reduce((total, { chance }) => total + chance, 0)
    return sum > 0 ? branches.map((branch) => ({ ...branch, chance: branch.chance / sum })) : []
  }
}

interface Branch {
  readonly edge: GraphEdge
  readonly chance: number
  after(): MachineState
}

/** What of a machine decides how it goes on: what is cured, what is fitted, and the cells of readings taken here. */
function keyOf({ hypotheses, job, status, out }: MachineState): string {
  const cured = hypotheses.map(
    ({ curedA, curedB, weight }) =>
      `${Number.isFinite(curedA)}${Number.isFinite(curedB)}${weight.toPrecision(9)}`,
  )
  const taken = job.taken.flatMap((all, reading) =>
    all.map(
      ({ time, cell }) =>
        `${reading}=${cell}@${hypotheses.map((h) => `${h.curedA >= time}${h.curedB >= time}`)}`,
    ),
  )
  return [status, out, [...job.fitted.keys()].sort(), cured, taken].join(";")
}
