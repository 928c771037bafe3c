/** Was it right? How a walk ended, held against the confirmed fault. */
import type { Graph, Remedy } from "../../run/graph.ts"
import type { Case } from "../record/case.ts"
import { type Machine, status } from "./true-machine.ts"

/** A fault that is still thought possible; cured or not, or both together. */
export interface Candidate {
  readonly fault: number
  readonly chance: number
}

export type Ending = Verdict | Handover | { readonly kind: "open" }

export interface Verdict {
  readonly kind: "verdict"
  readonly remedy: Remedy
  /** Chance that the remedy mends, as it was said. */
  readonly chance: number
  readonly candidates: readonly Candidate[]
  /** The remedy mends the confirmed fault. */
  readonly mends: boolean
  /** And the likeliest candidate is the confirmed fault. */
  readonly named: boolean
  /** The confirmed fault is among the candidates. */
  readonly listed: boolean
}

export interface Handover {
  readonly kind: "handover"
  readonly candidates: readonly Candidate[]
  /** The test whose finding fitted no listed fault. */
  readonly noneFits?: number
  readonly listed: boolean
}

/** A verdict or handing over, as a node of the graph or a step of a session has it. */
export type End =
  | {
      readonly do: "verdict"
      readonly remedy: Remedy
      readonly chance: number
      readonly candidates: readonly Candidate[]
    }
  | { readonly do: "handover"; readonly candidates: readonly Candidate[] }

export function judge(graph: Graph, record: Case, machine: Machine, end: End): Verdict | Handover {
  const fault = record.truth.known === "listed" ? record.truth.fault : -1
  const { candidates } = end
  const listed = candidates.some((candidate) => candidate.fault === fault && candidate.chance > 0)
  if (end.do === "handover") return { kind: "handover", candidates, listed }
  const right = fault >= 0 && mends(graph, end.remedy, fault, machine)
  const named = right && likeliest(candidates) === fault
  return { kind: "verdict", remedy: end.remedy, chance: end.chance, candidates, mends: right, named, listed }
}

/**
 * A part is mended by replacing that part, a setup by redoing it. Replacing a part whose seat was at fault cures too, but
 * for the price of a part: by the semantics that is not the remedy. "Done" is right when the fault was in a setup and is no
 * longer surely there.
 */
export function mends(graph: Graph, remedy: Remedy, fault: number, machine: Machine): boolean {
  const { place } = graph.faults[fault]!
  if (remedy.kind === "done") return graph.places[place]!.kind === "setup" && status(machine) !== "active"
  return remedy.place === place
}

/** Cured or not, the same fault; the first of equals. -1 where there are none. */
export function likeliest(candidates: readonly Candidate[]): number {
  let best = -1
  let most = 0
  for (let i = 0; i < candidates.length; i++) {
    const { fault } = candidates[i]!
    let chance = 0
    for (const each of candidates) if (each.fault === fault) chance += each.chance
    if (best < 0 || chance > most) {
      best = fault
      most = chance
    }
  }
  return best
}

/** Money that an ending costs beyond the work: handing over, or a comeback and the part replaced in vain. */
export function lossOf(graph: Graph, ending: Ending): number {
  if (ending.kind === "handover") return graph.handover
  if (ending.kind !== "verdict" || ending.mends) return 0
  const wasted = ending.remedy.kind === "replace" ? ending.remedy.place : undefined
  return graph.comeback + (wasted === undefined ? 0 : (graph.places[wasted]!.price ?? 0))
}
