import type { Condition, Model } from "../../../compiler/model/model.ts"
import type { Action as Doing } from "../../../compiler/plan/plan.ts"
import type { Plain } from "../plain.ts"

/** `leaveIn`, of a swap: after `stays` the known-good parts are left in. */
export type Action = Plain<Doing> & { readonly leaveIn?: boolean }

export type Found = readonly number[] | "gone" | "stays" | "holds" | "fails" | "done"

/**
 * What is wrong, what of it is cured, and what that machine's readings were. The page gives a hypothesis the step at
 * which each fault was cured; what that step is good for is which faults were active at each reading, kept here as such.
 */
export interface Hypothesis {
  /** One or two faults in rising order; none for something not listed. */
  readonly faults: readonly number[]
  /** Those of them that are cured, in rising order. */
  readonly cured: readonly number[]
  readonly weight: number
  /** In the order taken; one that was taken again with the same faults active stands only once, at its later place. */
  readonly takings: readonly Taking[]
  /** Rules that have taken something from it, in rising order. */
  readonly struckBy: readonly number[]
}

export interface Taking {
  readonly reading: number
  readonly cell: number
  /** Faults that were active then; for a told question all of them. */
  readonly active: readonly number[]
}

/** What is known at the bench. Weights of the hypotheses sum to 1. */
export interface State {
  readonly hypotheses: readonly Hypothesis[]
  /** Reading → cell, the latest one found. */
  readonly findings: ReadonlyMap<number, number>
  /** Part now replaced by a known-good one → the test that fitted it, and whether it stayed in after `stays`. */
  readonly fitted: ReadonlyMap<number, { readonly test: number; readonly left: boolean }>
  /** Tests that were done in this job. */
  readonly done: ReadonlySet<number>
  /** Tests done since the last repair, swaps with the parts that were fitted before: `3`, `4 with 0,2`. */
  readonly sinceRepair: ReadonlySet<string>
  /** `keep 1`, `replace 1`, `fix 0`. */
  readonly repairs: ReadonlySet<string>
  /** Places for whose sake a proof counts. */
  readonly touched: ReadonlySet<number>
  /** The machine was changed, and nobody looked again since. */
  readonly mayLook: boolean
  /** The last look gave `gone`, and nothing has changed the machine since. */
  readonly gone: boolean
}

/** A machine as it comes in. `only`: it is known to be this one of the states, by its place in the list. */
export function start(model: Model, only?: number): State {
  const all = priors(model)
  const hypotheses = only === undefined ? all : [{ ...all[only]!, weight: 1 }]
  return {
    hypotheses,
    findings: new Map(),
    fitted: new Map(),
    done: new Set(),
    sinceRepair: new Set(),
    repairs: new Set(),
    touched: new Set(),
    mayLook: false,
    gone: false,
  }
}

function priors(model: Model): Hypothesis[] {
  const odds = model.faults.map((fault) => fault.odds)
  const { unlisted } = model.ruleset
  const second = odds.length < 2 ? 0 : model.ruleset.second
  const listed = sum(odds)
  const pairs = odds.flatMap((one, f) =>
    odds.slice(f + 1).map((other, i) => ({ faults: [f, f + 1 + i], odds: one * other })),
  )
  const paired = sum(pairs.map((pair) => pair.odds))
  return [
    ...odds.map((each, fault) => ({ faults: [fault], weight: ((1 - second - unlisted) * each) / listed })),
    ...pairs.map((pair) => ({ faults: pair.faults, weight: (second * pair.odds) / paired })),
    { faults: [], weight: unlisted },
  ]
    .filter((each) => each.weight > 0)
    .map((each) => ({ ...each, cured: [], takings: [], struckBy: [] }))
}

export function sum(numbers: readonly number[]): number {
  return numbers.reduce((so, each) => so + each, 0)
}

export const isUnlisted = ({ faults }: Pick<Hypothesis, "faults">) => faults.length === 0

/** The listed faults that are active when the parts and setups of `out` are not the machine's own. */
export function activeFaults(
  model: Model,
  { faults, cured }: Pick<Hypothesis, "faults" | "cured">,
  out: { has(place: number): boolean },
): number[] {
  return faults.filter((fault) => !cured.includes(fault) && !out.has(model.faults[fault]!.place))
}

/** Whether anything is wrong with the machine as it stands. */
export function isActive(
  model: Model,
  hypothesis: Pick<Hypothesis, "faults" | "cured">,
  out: { has(place: number): boolean },
): boolean {
  return isUnlisted(hypothesis) || activeFaults(model, hypothesis, out).length > 0
}

/** Chance that something is wrong with the machine as it stands. */
export function activeChance(model: Model, { hypotheses, fitted }: State): number {
  return sum(hypotheses.filter((each) => isActive(model, each, fitted)).map((each) => each.weight))
}

/** Kleene's three values; `undefined` is unknown. */
export function known(condition: Condition, findings: ReadonlyMap<number, number>): boolean | undefined {
  if (condition.kind === "in") {
    const cell = findings.get(condition.reading)
    return cell === undefined ? undefined : condition.cells[cell]!
  }
  if (condition.kind === "not") {
    const inner = known(condition.item, findings)
    return inner === undefined ? undefined : !inner
  }
  const decides = condition.kind === "or"
  const items = condition.items.map((item) => known(item, findings))
  if (items.includes(decides)) return decides
  return items.includes(undefined) ? undefined : !decides
}

export interface Belief {
  /** By fault: chance that it was in the machine as it came in. */
  readonly present: readonly number[]
  /** By fault: chance that it is active now. */
  readonly active: readonly number[]
  readonly unlisted: number
}

export function belief(model: Model, state: State): Belief {
  const weightOf = (which: (hypothesis: Hypothesis) => boolean) =>
    sum(state.hypotheses.filter(which).map((each) => each.weight))
  return {
    present: model.faults.map((_, fault) => weightOf((each) => each.faults.includes(fault))),
    active: model.faults.map((_, fault) =>
      weightOf((each) => activeFaults(model, each, state.fitted).includes(fault)),
    ),
    unlisted: weightOf(isUnlisted),
  }
}

export const sameList = (a: readonly number[], b: readonly number[]) =>
  a.length === b.length && a.every((each, i) => each === b[i])

/** Two hypotheses with the same text fare alike from here on: weight apart, they are one. */
export function hypothesisKey({ faults, cured, takings, struckBy }: Hypothesis): string {
  const taken = takings.map(({ reading, cell, active }) => `${reading}=${cell}@${active}`)
  // What was taken of one reading keeps its order: the last of it is what can still stand.
  return `${faults}-${cured}|${taken.sort(byReading).join(" ")}|${struckBy}`
}

const byReading = (a: string, b: string) => Number.parseInt(a, 10) - Number.parseInt(b, 10)

/** Adds up what is the same hypothesis. */
export function merged(hypotheses: readonly Hypothesis[]): Hypothesis[] {
  const found = new Map<string, Hypothesis>()
  for (const each of hypotheses) {
    const key = hypothesisKey(each)
    found.set(key, { ...each, weight: each.weight + (found.get(key)?.weight ?? 0) })
  }
  return [...found.values()]
}

/** What of a state the future can hang on at all. */
interface Relevant {
  readonly done: ReadonlySet<number>
  readonly findings: ReadonlySet<number>
  readonly touched: ReadonlySet<number>
}

function relevant({ tests, places, faults, rules, nevers, proofs }: Model): Relevant {
  const conditions = [...rules, ...nevers].map((each) => each.condition)
  const gates = [...tests, ...[...places, ...faults].flatMap(({ gate }) => gate ?? [])]
  for (const { onlyIf } of gates) if (onlyIf) conditions.push(onlyIf)
  return {
    done: new Set([
      ...gates.flatMap(({ after, afterAny }) => [...after, ...afterAny]),
      ...tests.flatMap(({ kind }, index) => (kind === "told" ? [index] : [])),
    ]),
    findings: new Set(conditions.flatMap(readingsOf)),
    touched: new Set(proofs.flatMap((proof) => proof.places)),
  }
}

/** Writes states down: two with the same text have the same future. Weights count to eleven digits. */
export function canonical(model: Model): (state: State) => string {
  const { done, findings, touched } = relevant(model)
  return (state) =>
    [
      sorted(state.hypotheses.map((each) => `${hypothesisKey(each)}:${Math.round(each.weight * 1e11)}`)),
      sorted([...state.findings].filter(([reading]) => findings.has(reading)).map((each) => each.join("="))),
      sorted([...state.fitted].map(([part, { test, left }]) => `${part}<${test}${left ? "!" : ""}`)),
      sorted([...state.done].filter((each) => done.has(each)).map(String)),
      sorted([...state.sinceRepair]),
      sorted([...state.repairs]),
      sorted([...state.touched].filter((each) => touched.has(each)).map(String)),
      state.mayLook,
      state.gone,
    ].join("/")
}

const sorted = (items: readonly string[]) => [...items].sort().join(",")

export function readingsOf(condition: Condition): number[] {
  if (condition.kind === "in") return [condition.reading]
  if (condition.kind === "not") return readingsOf(condition.item)
  return condition.items.flatMap(readingsOf)
}
