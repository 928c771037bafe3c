import type { Draw } from "./models.ts"

/**
 * Small rulesets as source text, drawn as plain facts from which a test can say by itself what must be found. Limits and
 * steps are whole hundredths of a unit, so that counting through all values of a reading is exact.
 */
export interface Draft {
  /** Percent; 0 where the ruleset says nothing. */
  readonly trust: number
  readonly faults: readonly DraftFault[]
  readonly readings: readonly DraftReading[]
  readonly tests: readonly DraftTest[]
  readonly rules: readonly DraftCondition[]
  readonly nevers: readonly DraftCondition[]
  readonly proofs: readonly DraftProof[]
}

export interface DraftFault {
  readonly place: "board" | "plug"
  /** Percent of the tries in which the complaint shows. */
  readonly recurs: number
  readonly shows: readonly Comparison[]
}

export interface DraftReading {
  readonly name: string
  readonly told: boolean
  /** From 0 to `top` in steps of `by`; absent for yes or no. */
  readonly quantity?: { readonly unit: string; readonly top: number; readonly by: number }
  readonly normally?: Comparison
}

export interface Comparison {
  readonly kind: "in"
  readonly reading: DraftReading
  readonly relation: "below" | "at most" | "at least" | "above" | "between" | "outside" | "is"
  /** One limit or two; for `is`, 1 for yes and 0 for no. */
  readonly limits: readonly number[]
}

export type DraftCondition =
  | Comparison
  | { readonly kind: "and" | "or"; readonly items: readonly DraftCondition[] }
  | { readonly kind: "not"; readonly item: DraftCondition }

export interface DraftTest {
  readonly name: string
  readonly does: "reads" | "swaps" | "redoes"
  readonly reads: readonly DraftReading[]
  readonly power: "on" | "off" | undefined
  readonly caution: boolean
  readonly onlyIf?: DraftCondition
}

export interface DraftProof {
  readonly times: number | undefined
  readonly places: readonly string[]
  readonly expects?: Comparison
}

/** Units, some of them of quantities that are read with probes. */
const METERED = ["V", "mV", "dV", "uA", "kW", "ohm", "kΩ", "nF", "µH", "MHz", "THz", "\u2126"]
const UNITS = [...METERED, "s", "ms", "degC", "rpm", "bar", "Nm", "kPa", "B/s", "mm"]

export const isMetered = (unit: string) => METERED.includes(unit)

export function values({ quantity }: DraftReading): number[] {
  if (quantity === undefined) return [0, 1]
  return Array.from({ length: quantity.top / quantity.by + 1 }, (_, i) => i * quantity.by)
}

export function meets({ relation, limits }: Comparison, value: number): boolean {
  const [low, high = low] = limits as [number, number?]
  switch (relation) {
    case "below":
      return value < low
    case "at most":
      return value <= low
    case "at least":
      return value >= low
    case "above":
      return value > low
    case "between":
      return value >= low && value <= high
    case "outside":
      return value < low || value > high
    case "is":
      return value === low
  }
}

export function draftFrom(draw: Draw): Draft {
  const likely = (percent: number) => draw.int(1, 100) <= percent
  const pick = <T>(items: readonly T[]): T => items[draw.int(0, items.length - 1)]!
  const some = <T>(items: readonly T[], percent: number) => items.filter(() => likely(percent))
  const times = <T>(most: number, make: (i: number) => T) =>
    Array.from({ length: draw.int(0, most) }, (_, i) => make(i))

  const comparison = (reading: DraftReading): Comparison => {
    const { quantity } = reading
    if (quantity === undefined) return { kind: "in", reading, relation: "is", limits: [draw.int(0, 1)] }
    const relation = pick(["below", "at most", "at least", "above", "between", "outside"] as const)
    const pair = relation === "between" || relation === "outside"
    const low = draw.int(0, quantity.top - (pair ? 1 : 0))
    // Limits close to each other are where a meter fails.
    const high = likely(40) ? Math.min(quantity.top, low + draw.int(1, 9)) : draw.int(low + 1, quantity.top)
    return { kind: "in", reading, relation, limits: pair ? [low, high] : [low] }
  }
  /** One that splits the values; undefined where the draw does not. */
  const splitting = (reading: DraftReading): Comparison | undefined => {
    const drawn = comparison(reading)
    const met = values(reading).filter((value) => meets(drawn, value)).length
    return met > 0 && met < values(reading).length ? drawn : undefined
  }
  const readings = Array.from({ length: draw.int(1, 3) }, (_, i): DraftReading => {
    const reading = { name: `r${i}`, told: likely(20) }
    if (likely(25)) return reading
    const by = pick([1, 5, 10, 20])
    const quantity = { unit: pick(UNITS), top: by * draw.int(2, 12), by }
    const normally = !reading.told && likely(30) ? splitting({ ...reading, quantity }) : undefined
    return { ...reading, quantity, ...(normally ? { normally } : {}) }
  })
  const condition = (depth: number): DraftCondition => {
    if (depth === 0 || likely(50)) return comparison(pick(readings))
    const kind = pick(["and", "or", "not"] as const)
    return kind === "not"
      ? { kind, item: condition(depth - 1) }
      : { kind, items: [condition(depth - 1), condition(depth - 1)] }
  }
  const open = readings.filter(({ told }) => !told)
  return {
    trust: pick([0, 0, 50, 80, 90, 99, 100]),
    faults: Array.from({ length: 2 }, () => ({
      place: pick(["board", "plug"] as const),
      recurs: pick([100, 100, 90, 70, 50, 20, 10]),
      shows: some(readings, 30).flatMap((reading) => splitting(reading) ?? []),
    })),
    readings,
    tests: times(3, (i): DraftTest => {
      const does = open.length > 0 ? pick(["reads", "reads", "swaps", "redoes"] as const) : "redoes"
      return {
        name: `t${i}`,
        does,
        reads: does === "reads" ? [...new Set([pick(open), pick(open)])] : [],
        power: pick(["on", "on", "off", undefined]),
        caution: likely(30),
        ...(likely(25) ? { onlyIf: condition(1) } : {}),
      }
    }),
    rules: times(2, () => condition(2)),
    nevers: times(1, () => condition(1)),
    proofs: times(2, () => ({
      times: likely(70) ? draw.int(1, 9) : undefined,
      places: likely(30) ? [pick(["board", "plug"])] : [],
      ...(open.length > 0 && likely(30) ? { expects: splitting(pick(open)) } : {}),
    })).map(({ expects, ...proof }) => (expects === undefined ? proof : { ...proof, expects })),
  }
}

const shown = (hundredths: number) => String(hundredths / 100)

function wording({ reading, relation, limits }: Comparison): string {
  if (relation === "is") return `is ${limits[0] === 1 ? "yes" : "no"}`
  return `${relation} ${limits.map(shown).join(" and ")} ${reading.quantity!.unit}`
}

function spelled(condition: DraftCondition): string {
  if (condition.kind === "in") return `${condition.reading.name} ${wording(condition)}`
  if (condition.kind === "not") return `not (${spelled(condition.item)})`
  return condition.items.map((item) => `(${spelled(item)})`).join(` ${condition.kind} `)
}

/** The draft in the language; what is declared first can be told by the first line of its span. */
export function sourceOf(draft: Draft): string {
  const reading = ({ name, told, quantity, normally }: DraftReading) =>
    [
      told ? `told ${name} "${name}?"` : `reading ${name} "${name}?"`,
      quantity
        ? `in ${quantity.unit} from 0 to ${shown(quantity.top)} by ${shown(quantity.by)}`
        : "yes or no",
      ...(normally ? [`normally ${wording(normally)} 90%`] : []),
    ].join(" ")
  const test = ({ name, does, reads, power, caution, onlyIf }: DraftTest) =>
    [
      `test ${name} "${name}"`,
      does === "reads" ? `reads ${reads.map((each) => each.name).join(", ")}` : "",
      does === "swaps" ? "swaps board" : does === "redoes" ? "redoes plug" : "",
      power ? `power ${power}` : "",
      caution ? 'caution "Mind it."' : "",
      onlyIf ? `only if ${spelled(onlyIf)}` : "",
    ].join(" ")
  const proof = ({ times, places, expects }: DraftProof) =>
    [
      'proof "Run it"',
      times ? `times ${times}` : "",
      expects ? `expects ${expects.reading.name} ${wording(expects)}` : "",
      places.length > 0 ? `for ${places.join(", ")}` : "",
    ].join(" ")
  return [
    `ruleset draft "Draft"${draft.trust > 0 ? ` trust ${draft.trust}%` : ""}`,
    'complaint dark "dark"',
    'part board "board" spare',
    'setup plug "plug"',
    ...draft.faults.map(({ place, recurs, shows }, f) =>
      [
        `fault f${f} "f${f}" in ${place} odds 1`,
        ...(recurs < 100 ? [`shows dark ${recurs}%`] : []),
        ...shows.map((each) => `shows ${each.reading.name} ${wording(each)} 80%`),
      ].join(" "),
    ),
    ...draft.readings.map(reading),
    ...draft.tests.map(test),
    ...draft.rules.map((each) => `when ${spelled(each)} rule out f0`),
    ...draft.nevers.map((each) => `never ${spelled(each)}`),
    ...draft.proofs.map(proof),
  ].join("\n")
}
