/** An open case carried on: over all outcomes that agree with what the record knows, each with its chance. */

import type { GraphEdge, GraphStep } from "../../run/graph.ts"
import type { Found } from "../../run/index.ts"
import type { NodeIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Case } from "../record/case.ts"
import { readsOf } from "../record/graph-lookup.ts"
import { type Ahead, type Ends, nothingAhead } from "./ends.ts"
import type { Evidence } from "./evidence.ts"
import { edgeFor, edgesOf, type GraphIndex } from "./graph-index.ts"
import { isBoughtInVain } from "./judge.ts"
import { boughtBy, costOf } from "./spending.ts"
import type { MachineState } from "./true-machine.ts"

/** A branch with less chance than this is not followed. */
const NEGLIGIBLE = 1e-4

const NEARLY = 1e-9

/** A machine that comes to a node, and its share of the case. */
interface Arrival {
  readonly state: MachineState
  /** A part has been bought in vain since the record ended. */
  readonly inVain: boolean
  readonly key: string
  weight: number
}

export function continueOpen(
  index: GraphIndex,
  record: Case,
  evidence: Evidence,
  node: NodeIndex,
  state: MachineState,
): Ahead {
  return new OpenWalk(index, record, evidence).from(node, state)
}

class OpenWalk {
  readonly #index: GraphIndex
  readonly #record: Case
  readonly #evidence: Evidence
  readonly #ahead = nothingAhead()
  /** By rank of the node: ways that meet in the same state of the machine go on as one. */
  readonly #arrivals: (Arrival[] | undefined)[] = []

  constructor(index: GraphIndex, record: Case, evidence: Evidence) {
    this.#index = index
    this.#record = record
    this.#evidence = evidence
  }

  /** Takes every node after all that lead to it. */
  from(start: NodeIndex, state: MachineState): Ahead {
    const { graph, rank, ranked } = this.#index
    this.#arrive(start, state, 1, false)
    for (let r = at(rank, start); r < this.#arrivals.length; r++) {
      const node = at(ranked, r)
      const here = at(graph.nodes, node)
      for (const arrival of this.#arrivals[r] ?? []) {
        const { weight, inVain } = arrival
        if (here.do === "handover") this.#end("handedOver", weight, inVain)
        else if (here.do === "advise" || weight < NEGLIGIBLE) {
          this.#ahead.toGo += weight * here.costToGo
          this.#end("notFollowed", weight, inVain)
        } else this.#step(node, here, arrival)
      }
    }
    return this.#ahead
  }

  #end(how: keyof Ends, weight: number, inVain: boolean): void {
    this.#ahead.ends[how] += weight
    if (inVain) this.#ahead.inVain += weight
  }

  #arrive(to: NodeIndex | undefined, state: MachineState, weight: number, inVain: boolean): void {
    if (to === undefined) {
      // Without a confirmed fault nobody can tell whether the machine is whole.
      const { whole } = state
      if (Number.isNaN(whole)) this.#end("notFollowed", weight, inVain)
      else {
        this.#end("fixed", weight * whole, inVain)
        this.#end("comesBack", weight * (1 - whole), inVain)
      }
      return
    }
    const { rank } = this.#index
    const key = `${inVain ? "!" : ""}${keyOf(state)}`
    const there = this.#arrivals[at(rank, to)]
    const same = there?.find((each) => each.key === key)
    if (same) same.weight += weight
    else if (there) there.push({ state, key, weight, inVain })
    else this.#arrivals[at(rank, to)] = [{ state, key, weight, inVain }]
  }

  #step(node: NodeIndex, here: GraphStep, { state, weight, ...before }: Arrival): void {
    const { graph, trueMachine, edges } = this.#index
    const part = boughtBy(here)
    const inVain =
      before.inVain || (part !== undefined && isBoughtInVain(graph, this.#record.confirmed, part))
    const known = this.#evidence.outcome(here, state)
    if (known) {
      this.#spend(state, here, known.found, weight)
      const edge = edges[edgeFor(this.#index, node, known.found)]
      if (!edge) this.#end("handedOver", weight, inVain)
      else
        this.#arrive(
          edge.to,
          trueMachine.after(state, here, known.found, edge.leaveIn === true),
          weight,
          inVain,
        )
      return
    }
    const branches =
      here.do === "test" && readsOf(this.#index.graph, here.test)
        ? this.#readings(here, state)
        : this.#looks(here, state)
    let left = 1
    for (const { edge, chance, after } of branches) {
      left -= chance
      if (chance <= 0) continue
      this.#spend(state, here, edge.on, weight * chance)
      this.#arrive(edge.to, after(), weight * chance, inVain)
    }
    // What the machine may show and no edge waits for: no state fits there.
    if (left <= NEARLY) return
    this.#spend(state, here, [], weight * left)
    this.#end("handedOver", weight * left, inVain)
  }

  #spend(state: MachineState, here: GraphStep, found: Found, weight: number): void {
    const { minutes, money } = costOf(
      this.#index.trueMachine,
      state,
      here,
      found,
      this.#evidence.minutes(here),
    )
    this.#ahead.minutes += weight * minutes
    this.#ahead.money += weight * money
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
