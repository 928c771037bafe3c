/** The numbers with counts that are hidden in part, and what the cases count for each. */
import { addTo, at } from "../../run/lookup.ts"
import type { Counts, Estimate } from "./counts.ts"
import { Counting } from "./estimate.ts"
import type { Histories } from "./histories.ts"
import { type Values, written } from "./parameter-values.ts"
import { isFree, type Parameters, type RateKind } from "./parameters.ts"

export interface TiedNumber {
  readonly kind: "shows" | "normally" | RateKind
  /** As in `NumberChange`. */
  readonly name: string
}

/** A chance that stands alone, or all that one fault or a healthy machine shows of one reading. */
export interface Unit {
  readonly named: TiedNumber
  readonly list: "rates" | "groups"
  /** In that list of the parameters. */
  readonly index: number
  /** By category but the last: its chance among those that are free. A rate has one. */
  readonly chances: readonly number[]
  /** Categories of the group, in the order of the chances. */
  readonly categories: readonly number[]
  /** Observations, hidden ones by their chance. */
  readonly of: number
  /** Of its first coordinate. */
  readonly at: number
}

/** Before it has a place among the coordinates. */
type Candidate = Omit<Unit, "at">

/** Counts of which less than this is hidden are taken as seen. */
const SEEN = 0.005
/** Of more numbers, those of which most is hidden are looked into. */
const MOST = 400

/** Those with counts that are hidden in part, by the sample of the cases. */
export function hiddenUnits(
  parameters: Parameters,
  histories: Histories,
  { values, counts }: Estimate,
): Unit[] {
  const hidden = new HiddenParts(parameters, histories, values)
  const candidates = [
    ...rateUnits(parameters, values, counts),
    ...groupUnits(parameters, written(parameters), values, counts),
  ]
  const units: Unit[] = []
  let coordinates = 0
  for (const unit of candidates.sort((a, b) => hidden.of(b) - hidden.of(a))) {
    if (hidden.of(unit) < SEEN || coordinates + unit.chances.length > MOST) break
    units.push({ ...unit, at: coordinates })
    coordinates += unit.chances.length
  }
  return units
}

function rateUnits({ rates }: Parameters, values: Values, { could }: Counts): Candidate[] {
  return rates.flatMap(({ kind, name, chance }, index): Candidate[] => {
    const of = at(could, index)
    if (!isFree(chance) || of <= 0) return []
    const chances = [at(values.rates, index)]
    return [{ named: { kind, name }, list: "rates", index, chances, categories: [0], of }]
  })
}

function groupUnits({ groups }: Parameters, author: Values, values: Values, counts: Counts): Candidate[] {
  return groups.flatMap(({ kind, name }, index): Candidate[] => {
    const written = at(author.groups, index)
    const categories = [...written.keys()].filter((k) => isFree(at(written, k)))
    const all = categories.map((k) => at(at(values.groups, index), k))
    const whole = all.reduce((sum, chance) => sum + chance, 0)
    const of = categories.reduce((sum, k) => sum + at(at(counts.groups, index), k), 0)
    if (categories.length < 2 || of === 0) return []
    const chances = all.slice(0, -1).map((chance) => chance / whole)
    return [{ named: { kind, name }, list: "groups", index, chances, categories, of }]
  })
}

/** What one case counts for a unit: by category, or how often it could have happened and did. */
export function countsOf({ list, index, categories }: Unit, { could, did, groups }: Counts): number[] {
  if (list === "rates") return [at(did, index), at(could, index) - at(did, index)]
  return categories.map((k) => at(at(groups, index), k))
}

/** How much of the counts is broken: something that a record does not show. */
class HiddenParts {
  readonly #broken: { readonly groups: Float64Array; readonly rates: Float64Array }
  readonly #all: { readonly groups: Float64Array; readonly rates: Float64Array }

  constructor(parameters: Parameters, histories: Histories, values: Values) {
    const none = () => ({
      groups: new Float64Array(parameters.groups.length),
      rates: new Float64Array(parameters.rates.length),
    })
    this.#broken = none()
    this.#all = none()
    const broken = (n: number) => Math.abs(n - Math.round(n))
    eachCase(parameters, histories, values, histories.cases.sampleTimes, ({ groups, could, did }, often) => {
      groups.forEach((all, g) => {
        for (const n of all) {
          addTo(this.#broken.groups, g, often * broken(n))
          addTo(this.#all.groups, g, often * n)
        }
      })
      could.forEach((n, r) => {
        addTo(this.#broken.rates, r, often * (broken(n) + broken(did[r] ?? 0)))
        addTo(this.#all.rates, r, often * n)
      })
    })
  }

  of({ list, index }: Candidate): number {
    const all = at(this.#all[list], index)
    return all > 0 ? at(this.#broken[list], index) / all : 0
  }
}

/** Calls back with what each distinct case counts, by itself; the counts are written over afterwards. */
export function eachCase(
  parameters: Parameters,
  histories: Histories,
  values: Values,
  times: Float64Array,
  use: (counts: Counts, often: number) => void,
): void {
  const counting = new Counting(parameters, values)
  const { odds, states, could, did, groups } = counting.counts
  times.forEach((often, at) => {
    if (often === 0) return
    for (const each of [odds, states, could, did, ...groups]) each.fill(0)
    counting.add(histories.of(at), 1)
    use(counting.counts, often)
  })
}

/** Of the logarithm of a chance over the rest, if all observations were in plain sight. */
export function errorInSight(chance: number, of: number): number {
  return 1 / Math.sqrt(of * chance * (1 - chance))
}
