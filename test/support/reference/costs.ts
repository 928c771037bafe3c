import type { Model, Test, Work } from "../../../compiler/model/model.ts"
import type { Expected } from "../../../compiler/plan/plan.ts"
import { type Action, type State, sum } from "./beliefs.ts"
import { countingProofs } from "./readings.ts"
import { cureChance, redoneByTest } from "./redoing.ts"

/** What an action costs whatever comes of it: the parts of `expected` that it adds to, and its minutes. */
export type Spent = Partial<
  Pick<Expected, "tests" | "parts" | "repairs" | "proof" | "handover" | "waiting" | "minutes">
>

export function charge(model: Model, state: State, action: Action): Spent {
  if (action.do === "test") return testSpent(model, model.tests[action.test]!)
  if (action.do === "putBack") return testSpent(model, model.tests[state.fitted.get(action.part)!.test]!)
  if (action.do === "keep") return { parts: model.places[action.part]!.price }
  if (action.do === "replace") {
    const { price } = model.places[action.part]!
    return { parts: price, ...repairSpent(model, replaceWork(model, action.part)) }
  }
  if (action.do === "fix") return repairSpent(model, fixWork(model, action.fault)!)
  if (action.do === "handover") return { handover: model.ruleset.handover }
  if (action.do === "close") {
    const minutes = sum(countingProofs(model, state).map((proof) => proof.times * proof.minutes))
    return { proof: atBench(model, minutes), minutes }
  }
  return {}
}

/** Money of a spending, all parts together. */
export function money(spent: Spent): number {
  const { tests = 0, parts = 0, repairs = 0, proof = 0, handover = 0, waiting = 0 } = spent
  return tests + parts + repairs + proof + handover + waiting
}

/** Without waiting and look. */
export function testMoney(model: Model, { minutes, costs, risks }: Test): number {
  const lost = sum(risks.map(({ part, chance }) => chance * model.places[part]!.price))
  return atBench(model, minutes) + costs + lost
}

function testSpent(model: Model, test: Test): Spent {
  return { tests: testMoney(model, test), waiting: whileWaiting(model, test), minutes: test.minutes }
}

function repairSpent(model: Model, work: Work): Spent {
  return {
    repairs: atBench(model, work.minutes) + work.costs,
    waiting: whileWaiting(model, work),
    minutes: work.minutes,
  }
}

export function atBench(model: Model, minutes: number): number {
  return (minutes / 60) * model.ruleset.bench
}

function whileWaiting(model: Model, { waits }: Pick<Work, "waits">): number {
  return (waits / 60) * model.ruleset.waiting
}

/** Minutes of a look in which so many tries are made. */
export function lookMinutes(model: Model, tries: number): number {
  return tries * model.complaint.minutes
}

const free: Work = { minutes: 0, costs: 0, waits: 0 }

const workMoney = (model: Model, work: Work) =>
  atBench(model, work.minutes) + work.costs + whileWaiting(model, work)

function cheapest(model: Model, works: readonly Work[]): Work | undefined {
  return [...works].sort((a, b) => workMoney(model, a) - workMoney(model, b))[0]
}

/** Fitting a bought part: its clause, else the cheapest swap of it alone, else nothing. */
export function replaceWork(model: Model, part: number): Work {
  const swaps = model.tests.filter(
    (test) => test.kind === "swaps" && test.parts.every((each) => each === part),
  )
  return model.places[part]!.fit ?? cheapest(model, swaps) ?? free
}

/**
 * Fixing a fault: its clause, else (in a setup) the redoing test that names the setup and takes least, over the chance
 * that it cures the fault. Undefined where there is no such repair.
 */
export function fixWork(model: Model, fault: number): Work | undefined {
  const { fix, place } = model.faults[fault]!
  const tests = model.tests.filter(
    (test) => test.kind === "redoes" && test.redoes.some((each) => each.named && each.setup === place),
  )
  const works = tests.flatMap((test) => {
    const chance = cureChance(model, redoneByTest(model, test), fault)
    if (chance === 0) return []
    return [{ minutes: test.minutes / chance, costs: test.costs / chance, waits: test.waits / chance }]
  })
  return fix ?? cheapest(model, works)
}
