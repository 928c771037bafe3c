/**
 * Cases as a fit counts them: those in which the same was done, found and confirmed are one, with how often it came. Each
 * is kept as a short text, so that a million of them fit into memory.
 */

import type { CellIndex, FaultIndex, PlaceIndex, ReadingIndex, TestIndex } from "../../run/indexes.ts"
import { addTo, at } from "../../run/lookup.ts"
import type { Case, CaseStep, Finding } from "../record/case.ts"

/** All of a case that numbers are learnt from. */
export type CaseContent = Pick<Case, "told" | "steps" | "confirmed">

/** As many cases are kept in the order in which they came, at least; of more every second, fourth, … */
const LEAST_KEPT = 1000

export class DistinctCases {
  readonly #places = new Map<string, number>()
  readonly #texts: string[] = []
  readonly #times: number[] = []
  #sample: number[] = []
  #stride = 1
  #cases = 0

  add(record: CaseContent): void {
    const text = packed(record)
    let place = this.#places.get(text)
    if (place === undefined) {
      place = this.#texts.push(text) - 1
      this.#places.set(text, place)
      this.#times.push(0)
    }
    addTo(this.#times, place, 1)
    if (this.#cases++ % this.#stride === 0) this.#sample.push(place)
    if (this.#sample.length < 2 * LEAST_KEPT) return
    this.#sample = this.#sample.filter((_, i) => i % 2 === 0)
    this.#stride *= 2
  }

  get cases(): number {
    return this.#cases
  }

  /** How many different ones. */
  get size(): number {
    return this.#texts.length
  }

  /** By distinct case: how often it came. */
  get times(): Float64Array {
    return Float64Array.from(this.#times)
  }

  /** Distinct cases in the order in which cases came: all of them, or of many an evenly spaced part. */
  get sample(): readonly number[] {
    return this.#sample
  }

  /** By distinct case: how often it is in the sample. */
  get sampleTimes(): Float64Array {
    const times = new Float64Array(this.size)
    for (const place of this.#sample) addTo(times, place, 1)
    return times
  }

  /** Whether the sample has all cases. */
  get isWholeSample(): boolean {
    return this.#stride === 1
  }

  content(place: number): CaseContent {
    return unpacked(at(this.#texts, place))
  }
}

type PackedStep = readonly [what: CaseStep["do"], of: number, found: string | number[], leftIn?: 1]

function packed({ told, steps, confirmed }: CaseContent): string {
  const findings = (all: readonly Finding[]) => all.flatMap(({ reading, cell }) => [reading, cell])
  const all = steps.map((step): PackedStep => {
    const found = typeof step.found === "string" ? step.found : findings(step.found)
    return step.do === "test" && step.leftIn
      ? [step.do, step.test, found, 1]
      : [step.do, objectOf(step), found]
  })
  return JSON.stringify([findings(told), all, confirmed.kind === "faults" ? confirmed.faults : []])
}

function objectOf(step: CaseStep): number {
  if ("test" in step) return step.test
  if ("part" in step) return step.part
  return "fault" in step ? step.fault : -1
}

function unpacked(text: string): CaseContent {
  const [told, steps, faults] = JSON.parse(text) as [number[], PackedStep[], FaultIndex[]]
  return {
    told: findingsIn(told),
    steps: steps.map((step) => ({
      ...actionIn(step),
      found: typeof step[2] === "string" ? (step[2] as "done") : findingsIn(step[2]),
    })),
    confirmed: faults.length > 0 ? { kind: "faults", faults } : { kind: "unlisted", name: "unlisted" },
  }
}

function findingsIn(flat: readonly number[]): Finding[] {
  return Array.from({ length: flat.length / 2 }, (_, i) => ({
    reading: at(flat, 2 * i) as ReadingIndex,
    cell: at(flat, 2 * i + 1) as CellIndex,
  }))
}

function actionIn([what, of, , leftIn]: PackedStep) {
  switch (what) {
    case "test":
      return { do: what, test: of as TestIndex, ...(leftIn ? { leftIn: true as const } : {}) }
    case "fix":
      return { do: what, fault: of as FaultIndex }
    case "takeOut":
    case "putBack":
    case "keep":
    case "replace":
      return { do: what, part: of as PlaceIndex }
    default:
      return { do: what }
  }
}
