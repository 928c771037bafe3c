/**
 * One job with one fault as a hidden Markov chain: the fault is cured or not, what is redone may cure it, and readings
 * and looks tell of it. Forward and backward passes: L. E. Baum, T. Petrie, G. Soules, N. Weiss, Annals of Mathematical
 * Statistics 41, 1970.
 */
import type { Model } from "../../model/model.ts"
import type { Case } from "../record/case.ts"
import type { Numbers } from "./parameter-values.ts"

/** What happens at one moment of a job, for one fault. */
export type Event =
  | { readonly kind: "told"; readonly reading: number; readonly cell: number }
  /** `out`: a known-good part stands in for the faulty one. */
  | { readonly kind: "read"; readonly reading: number; readonly cell: number; readonly out: boolean }
  | { readonly kind: "look"; readonly test: number; readonly gone: boolean; readonly out: boolean }

/** By case and fault: a fit asks for them again and again. */
const known = new WeakMap<Case, Map<number, readonly Event[]>>()

export function eventsOf(model: Model, record: Case, fault: number): readonly Event[] {
  const ofCase = known.get(record) ?? new Map<number, readonly Event[]>()
  const events = ofCase.get(fault) ?? listed(model, record, fault)
  known.set(record, ofCase.set(fault, events))
  return events
}

function listed(model: Model, record: Case, fault: number): Event[] {
  const { place } = model.faults[fault]!
  const events: Event[] = record.told.map(({ reading, cell }) => ({ kind: "told", reading, cell }))
  let out = false
  for (const { test, putBack, found } of record.steps) {
    if (typeof found !== "string") {
      for (const { reading, cell } of found)
        events.push(
          model.readings[reading]!.told
            ? { kind: "told", reading, cell }
            : { kind: "read", reading, cell, out },
        )
    } else if (test !== undefined) {
      const now: boolean = model.tests[test]!.part === place ? !putBack : out
      events.push({ kind: "look", test, gone: found === "gone", out: now })
      // After a swap that did not help the old part goes back.
      if (found === "gone" || putBack) out = now
    }
  }
  return events
}

/** Transition and emission of an event: of weight uncured and cured before, what is left of each after it. */
interface Step {
  /** Uncured stays so, and what is found comes of it. */
  readonly uu: number
  readonly uc: number
  readonly cc: number
}

function stepOf(event: Event, fault: number, place: number, numbers: Numbers, tries: number): Step {
  if (event.kind === "told") {
    const chance = numbers.told(event.reading, event.cell, fault)
    return { uu: chance, uc: 0, cc: chance }
  }
  if (event.kind === "read") {
    const healthy = numbers.plain(event.reading, event.cell, undefined)
    return { uu: event.out ? healthy : numbers.plain(event.reading, event.cell, fault), uc: 0, cc: healthy }
  }
  const cure = numbers.cures(event.test, place)
  const missed = event.out ? 1 : (1 - numbers.recurs(fault)) ** tries
  return event.gone
    ? { uu: (1 - cure) * missed, uc: cure, cc: 1 }
    : { uu: (1 - cure) * (1 - missed), uc: 0, cc: 0 }
}

/** An event with the chances, given all of the record, of what went before and came after it. */
export interface Seen {
  readonly event: Event
  /** Uncured before and after; cured by it; cured before already. They sum to 1. */
  readonly uu: number
  readonly uc: number
  readonly cc: number
}

/**
 * Log of the chance of all that was found if this was the fault, and what each event tells. An event that cannot be with
 * this fault makes the chance zero; with `lenient` it is passed over instead.
 */
export function chain(
  model: Model,
  record: Case,
  fault: number,
  numbers: Numbers,
  lenient = false,
): { readonly log: number; readonly seen: readonly Seen[] } {
  const { place } = model.faults[fault]!
  const kept: { event: Event; step: Step; u: number; c: number; scale: number }[] = []
  let [u, c, log] = [1, 0, 0]
  for (const event of eventsOf(model, record, fault)) {
    const tries = event.kind === "look" ? model.tests[event.test]!.tries : 1
    const step = stepOf(event, fault, place, numbers, tries)
    const after = u * step.uu
    const cured = u * step.uc + c * step.cc
    const scale = after + cured
    if (!(scale > 0)) {
      if (!lenient) return { log: Number.NEGATIVE_INFINITY, seen: [] }
      continue
    }
    kept.push({ event, step, u, c, scale })
    log += Math.log(scale)
    u = after / scale
    c = cured / scale
  }
  let [behindU, behindC] = [1, 1]
  const seen: Seen[] = []
  for (let i = kept.length - 1; i >= 0; i--) {
    const { event, step, u, c, scale } = kept[i]!
    const uu = (u * step.uu * behindU) / scale
    const uc = (u * step.uc * behindC) / scale
    seen.push({ event, uu, uc, cc: (c * step.cc * behindC) / scale })
    behindU = (step.uu * behindU + step.uc * behindC) / scale
    behindC = (step.cc * behindC) / scale
  }
  return { log, seen: seen.reverse() }
}
