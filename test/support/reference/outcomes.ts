import type { Model } from "../../../compiler/model/model.ts"
import { indexed } from "../plain.ts"
import { repetition } from "./actions.ts"
import { type Action, type Found, type Hypothesis, merged, type State, sum, type Taking } from "./beliefs.ts"
import { cellChances, countingProofs, proofChance, showChance } from "./readings.ts"
import { cureChance, type Redone, redoneByFixing, redoneByReplacing, redoneByTest } from "./redoing.ts"
import { judge } from "./rules.ts"

export interface Outcome {
  readonly on: Found
  readonly chance: number
  /** Expected number of tries that the look made, if it came out like this. */
  readonly tries: number
  readonly state: State
}

export interface Performed {
  readonly outcomes: readonly Outcome[]
  /** Weight that rules took, and that nevers took of the rest, of all there was. */
  readonly struck: number
  readonly forbidden: number
}

/** A hypothesis below this has no outcome left to it. */
const nothing = 1e-12

/** All that can come of an action. Empty where rules and nevers leave no hypothesis. */
export const outcomes = (model: Model, state: State, action: Action) => perform(model, state, action).outcomes

/** What comes of one hypothesis, before rules and nevers; chances sum to 1. */
interface Physical {
  readonly on: Found
  readonly chance: number
  readonly tries: number
  readonly hypothesis: Hypothesis
}

/**
 * In each hypothesis the chances of what can come are multiplied by what rules and nevers leave of them and divided by
 * their sum; the chance of an outcome is its share over all hypotheses.
 */
export function perform(model: Model, state: State, action: Action): Performed {
  const after = new Map<string, { on: Found; tries: number; hypotheses: Hypothesis[]; state: State }>()
  const bares = new Map<string, State>()
  const effect = effectOf(model, state, action)
  let struck = 0
  let forbidden = 0
  for (const hypothesis of state.hypotheses) {
    const judged = physical(model, state, action, effect, hypothesis).map((each) => {
      const bare = bares.get(`${each.on}`) ?? benchAfter(model, state, action, effect, each.on)
      bares.set(`${each.on}`, bare)
      return { ...each, bare, ...judge(model, bare, each.hypothesis) }
    })
    struck += hypothesis.weight * sum(judged.map((each) => each.chance * (1 - each.spared)))
    forbidden += hypothesis.weight * sum(judged.map((each) => each.chance * (each.spared - each.left)))
    const all = sum(judged.map((each) => each.chance * each.left))
    if (all < nothing) continue
    for (const each of judged) {
      const weight = (hypothesis.weight * each.chance * each.left) / all
      if (weight === 0) continue
      const key = `${each.on}`
      const found = after.get(key) ?? { on: each.on, tries: 0, hypotheses: [], state: each.bare }
      found.tries += weight * each.tries
      found.hypotheses.push({ ...each.hypothesis, weight, struckBy: each.struckBy })
      after.set(key, found)
    }
  }
  const all = sum([...after.values()].map(({ hypotheses }) => sum(hypotheses.map((each) => each.weight))))
  const found = [...after.values()].map(({ on, tries, hypotheses, state: bare }) => {
    const own = sum(hypotheses.map((each) => each.weight))
    const weighed = hypotheses.map((each) => ({ ...each, weight: each.weight / own }))
    return { on, chance: own / all, tries: tries / own, state: { ...bare, hypotheses: merged(weighed) } }
  })
  return { outcomes: found, struck, forbidden }
}

/** What an action does to the machine. */
interface Effect {
  readonly redoes: readonly Redone[]
  /** Faults that it cures for sure. */
  readonly cures: (fault: number) => boolean
  /** Parts and setups that are not in during the look. */
  readonly out: ReadonlySet<number>
  readonly tries: number
  /** Redone only when the look is over. */
  readonly late?: boolean
}

function effectOf(model: Model, state: State, action: Action): Effect | undefined {
  const fitted = new Set(state.fitted.keys())
  const none = { redoes: [], cures: () => false, out: fitted, tries: model.complaint.tries }
  if (action.do === "look") return none
  if (action.do === "replace") {
    const cures = (fault: number) => model.faults[fault]!.place === action.part
    return { ...none, cures, redoes: redoneByReplacing(model, action.part) }
  }
  if (action.do === "fix") {
    const cures = (fault: number) => fault === action.fault
    return { ...none, cures, redoes: redoneByFixing(model, action.fault) }
  }
  if (action.do === "putBack") {
    const test = model.tests[state.fitted.get(action.part)!.test]!
    fitted.delete(action.part)
    return { ...none, redoes: redoneByTest(model, test), tries: test.tries }
  }
  if (action.do !== "test") return undefined
  const test = model.tests[action.test]!
  if (test.kind === "reads" || test.kind === "told") return undefined
  const effect = { ...none, redoes: redoneByTest(model, test), tries: test.tries }
  if (test.kind === "redoes") return effect
  if (test.kind === "swaps") return { ...effect, out: new Set([...fitted, ...test.parts]) }
  const seats = model.places.flatMap(({ of }, place) =>
    of !== undefined && test.parts.includes(of) ? [place] : [],
  )
  return { ...effect, out: new Set([...fitted, ...test.parts, ...seats]), late: true }
}

function physical(
  model: Model,
  state: State,
  action: Action,
  effect: Effect | undefined,
  hypothesis: Hypothesis,
): Physical[] {
  if (effect?.late) {
    return look(model, hypothesis, effect).flatMap((seen) =>
      cure(model, hypothesis, effect).map((each) => ({
        ...each,
        ...seen,
        chance: each.chance * seen.chance,
      })),
    )
  }
  if (effect) {
    return cure(model, hypothesis, effect).flatMap((each) =>
      look(model, each.hypothesis, effect).map((seen) => ({
        ...each,
        ...seen,
        chance: each.chance * seen.chance,
      })),
    )
  }
  if (action.do === "test") return take(model, state, hypothesis, model.tests[action.test]!.reads)
  if (action.do === "close") {
    const holds = proofChance(model, hypothesis, state.fitted, countingProofs(model, state))
    return [
      { on: "holds" as const, chance: holds, tries: 0, hypothesis },
      { on: "fails" as const, chance: 1 - holds, tries: 0, hypothesis },
    ]
  }
  const kept = action.do === "keep" ? faultsIn(model, hypothesis, action.part) : []
  return [{ on: "done", chance: 1, tries: 0, hypothesis: withCured(hypothesis, kept) }]
}

const faultsIn = (model: Model, { faults }: Hypothesis, place: number) =>
  faults.filter((fault) => model.faults[fault]!.place === place)

function withCured(hypothesis: Hypothesis, cured: readonly number[]): Hypothesis {
  const all = hypothesis.faults.filter((fault) => hypothesis.cured.includes(fault) || cured.includes(fault))
  return { ...hypothesis, cured: all }
}

/** Every uncured fault is cured, or not, by itself. */
function cure(model: Model, hypothesis: Hypothesis, effect: Effect) {
  let ways: { hypothesis: Hypothesis; chance: number }[] = [{ hypothesis, chance: 1 }]
  for (const fault of hypothesis.faults) {
    if (hypothesis.cured.includes(fault)) continue
    const chance = effect.cures(fault) ? 1 : cureChance(model, effect.redoes, fault)
    ways = ways.flatMap((way) => [
      { hypothesis: withCured(way.hypothesis, [fault]), chance: way.chance * chance },
      { ...way, chance: way.chance * (1 - chance) },
    ])
  }
  return ways.filter((way) => way.chance > 0)
}

/** The tries end when the complaint is seen. */
function look(model: Model, hypothesis: Hypothesis, { out, tries }: Effect) {
  const shows = showChance(model, hypothesis, out)
  const gone = (1 - shows) ** tries
  let stays = 0
  let made = 0
  for (let n = 1; n <= tries; n++) {
    const seenNow = (1 - shows) ** (n - 1) * shows
    stays += seenNow
    made += n * seenNow
  }
  return [
    { on: "gone" as const, chance: gone, tries },
    { on: "stays" as const, chance: stays, tries: stays > 0 ? made / stays : 0 },
  ].filter((each) => each.chance > 0)
}

/** Readings taken one by one; they are independent given the hypothesis. */
function take(model: Model, state: State, hypothesis: Hypothesis, reads: readonly number[]): Physical[] {
  let ways: { on: number[]; chance: number; hypothesis: Hypothesis }[] = [{ on: [], chance: 1, hypothesis }]
  for (const reading of reads) {
    ways = ways.flatMap((way) =>
      cellChances(model, way.hypothesis, state.fitted, reading).flatMap((chance, cell) => {
        if (chance === 0) return []
        const taken = withTaking(model, state, way.hypothesis, reading, cell)
        return [{ on: [...way.on, cell], chance: way.chance * chance, hypothesis: taken }]
      }),
    )
  }
  return ways.map((way) => ({ ...way, tries: 0 }))
}

function withTaking(model: Model, state: State, hypothesis: Hypothesis, reading: number, cell: number) {
  const { told } = model.readings[reading]!
  const active = told
    ? hypothesis.faults
    : hypothesis.faults.filter(
        (fault) => !hypothesis.cured.includes(fault) && !state.fitted.has(model.faults[fault]!.place),
      )
  const same = (taking: Taking) => taking.reading === reading && `${taking.active}` === `${active}`
  const others = hypothesis.takings.filter((taking) => !same(taking))
  return { ...hypothesis, takings: [...others, { reading, cell, active }] }
}

/** All of the state but the hypotheses, after an action came out like this. */
function benchAfter(
  model: Model,
  state: State,
  action: Action,
  effect: Effect | undefined,
  on: Found,
): State {
  if (action.do === "handover" || on === "holds") return state
  if (action.do === "close") return { ...state, gone: false }
  if (action.do === "look") return { ...state, gone: on === "gone", mayLook: false }
  if (action.do === "test") return afterTest(model, state, action, effect, on)
  const fitted = new Map(state.fitted)
  const touched = new Set(state.touched)
  const repair = { sinceRepair: new Set<string>(), repairs: new Set(state.repairs) }
  if (action.do === "keep") {
    fitted.delete(action.part)
    repair.repairs.add(`keep ${action.part}`)
    return { ...state, ...repair, fitted }
  }
  const changed = { ...state, gone: on === "gone", mayLook: true, touched, fitted }
  if (action.do === "takeOut") {
    fitted.delete(action.part)
    return changed
  }
  const place = action.do === "fix" ? model.faults[action.fault]!.place : action.part
  for (const each of [place, ...effect!.redoes.map(({ setup }) => setup)]) {
    touched.add(each)
  }
  if (action.do === "putBack") {
    fitted.delete(action.part)
    return changed
  }
  repair.repairs.add(action.do === "fix" ? `fix ${action.fault}` : `replace ${action.part}`)
  return { ...changed, ...repair }
}

function afterTest(
  model: Model,
  state: State,
  action: Action & { do: "test" },
  effect: Effect | undefined,
  on: Found,
): State {
  const test = model.tests[action.test]!
  const done = new Set([...state.done, action.test])
  const sinceRepair = new Set([...state.sinceRepair, repetition(model, state, action.test)])
  if (typeof on !== "string") {
    const findings = new Map(state.findings)
    for (const [i, reading] of test.reads.entries()) findings.set(reading, on[i]!)
    return { ...state, done, sinceRepair, findings }
  }
  const touched = new Set([...state.touched, ...test.parts])
  for (const { setup } of effect!.redoes) touched.add(setup)
  const fitted = new Map(state.fitted)
  const stays = on === "stays"
  if (test.kind === "swaps" && (!stays || action.leaveIn)) {
    for (const part of test.parts) fitted.set(part, { test: action.test, left: stays })
  }
  // What was removed goes in again after the look, which so was the last but of another machine.
  const gone = !stays && test.kind !== "removes"
  return { ...state, done, sinceRepair, touched, fitted, gone, mayLook: true }
}

/** A finding that came without a test. */
export function find(model: Model, state: State, reading: number, cell: number): State | undefined {
  const { told } = model.readings[reading]!
  const test = model.tests.findIndex((each) => each.kind === "told" && each.reads[0] === reading)
  const base = model.tests[test]
  const bare = {
    ...(base ?? model.tests[0]!),
    kind: told ? ("told" as const) : ("reads" as const),
    reads: [reading],
  }
  const index = told ? test : model.tests.length
  const tests = indexed<Model["tests"]>(told ? model.tests : [...model.tests, bare])
  const found = outcomes({ ...model, tests }, state, { do: "test", test: index })
  const after = found.find(({ on }) => on[0] === cell)?.state
  if (after === undefined || told) return after
  return { ...after, done: state.done, sinceRepair: state.sinceRepair }
}

/** What is known after these steps; undefined where one of them cannot have come out like that. */
export function replay(
  model: Model,
  state: State,
  log: readonly { readonly action: Action; readonly on: Found }[],
): State | undefined {
  let now: State | undefined = state
  for (const { action, on } of log) {
    if (now === undefined) return undefined
    now = outcomes(model, now, action).find((each) => `${each.on}` === `${on}`)?.state
  }
  return now
}
