/** How a walk ended, held against what was confirmed. */

import type { Candidate, Graph } from "../../run/graph.ts"
import type { FaultIndex, PlaceIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Case, CaseAction, Confirmed } from "../record/case.ts"
import { type Ends, noEnds } from "./ends.ts"
import type { MachineState } from "./true-machine.ts"

export type Ending = Closed | Handover | { readonly kind: "open" }

/** The machine passed its proof run. */
export interface Closed {
  readonly kind: "closed"
  /** Chance that nothing is wrong with it any more; NaN where nobody confirmed anything. */
  readonly whole: number
  /** It is more likely whole than not; else it comes back. */
  readonly fixed: boolean
}

export interface Handover {
  readonly kind: "handover"
  /** What was wrong is not listed: nothing else would have been right. */
  readonly rightly: boolean
  readonly candidates: readonly Candidate[]
  /** A confirmed fault is among the candidates. */
  readonly suspected: boolean
  /** The action whose outcome fitted no state of the machine. */
  readonly noneFits?: CaseAction
}

export function closedWith({ whole }: MachineState): Closed {
  return { kind: "closed", whole, fixed: whole >= 0.5 }
}

export function handedOver(
  { confirmed }: Case,
  candidates: readonly Candidate[],
  noneFits?: CaseAction,
): Handover {
  return {
    kind: "handover",
    rightly: confirmed.kind === "unlisted",
    candidates,
    suspected: candidates.some(({ fault, present }) => present > 0 && isConfirmed(confirmed, fault)),
    ...(noneFits ? { noneFits } : {}),
  }
}

/** `fault`: of the graph; undefined for something not listed. */
export function isConfirmed(confirmed: Confirmed, fault: FaultIndex | undefined): boolean {
  if (fault === undefined) return confirmed.kind === "unlisted"
  return confirmed.kind === "faults" && confirmed.faults.includes(fault)
}

/** A part bought in which no confirmed fault lies, cured or not. False where nobody confirmed anything. */
export function isBoughtInVain(graph: Graph, confirmed: Confirmed, part: PlaceIndex): boolean {
  if (confirmed.kind === "unknown") return false
  return (
    confirmed.kind === "unlisted" || confirmed.faults.every((fault) => at(graph.faults, fault).place !== part)
  )
}

/** The job ended as well as it can: whole again, or handed over where what was wrong is not listed. */
export function isRight(ending: Ending): boolean {
  return ending.kind === "closed" ? ending.fixed : ending.kind === "handover" && ending.rightly
}

/** The machine left with something wrong in it. */
export function comesBack(ending: Ending): boolean {
  return ending.kind === "closed" && !ending.fixed
}

/** How a case ends, of 1: one that is decided in one way, an open one in each by its chance. */
export function endsOf({
  ending,
  open,
}: {
  readonly ending: Ending
  readonly open?: { readonly ends: Ends }
}): Ends {
  if (ending.kind === "open") return open?.ends ?? { ...noEnds(), notFollowed: 1 }
  if (ending.kind === "handover") return { ...noEnds(), handedOver: 1 }
  return ending.fixed ? { ...noEnds(), fixed: 1 } : { ...noEnds(), comesBack: 1 }
}

/** Money that endings cost beside the work and the parts: comebacks, and handing over. */
export function lossOf({ comeback, handover }: Graph, ends: Ends): number {
  return ends.comesBack * comeback + ends.handedOver * handover
}

/** Candidates by their chance to be present; the first of equals, undefined where there are none. */
export function likeliest(candidates: readonly Candidate[]): Candidate | undefined {
  return candidates.reduce<Candidate | undefined>(
    (best, each) => (best === undefined || each.present > best.present ? each : best),
    undefined,
  )
}
