import fc from "fast-check"
import { describe, expect, test, vi } from "vitest"
import { check } from "../../compiler/check/check.ts"
import { Context } from "../../compiler/check/context.ts"
import { Budget } from "../../compiler/check/logic/budget.ts"
import { Solver } from "../../compiler/check/logic/solver.ts"
import { ProofCache } from "../../compiler/check/proof-cache.ts"
import { analyse } from "../../compiler/compile.ts"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import type { Model } from "../../compiler/model/model.ts"
import { seeded } from "../support/models.ts"
import { smallModel } from "./small.ts"
import { modelFrom } from "./text.ts"

const head = `ruleset large "Large"
  bench 60 per hour
  second fault 1%  unlisted 1%
complaint dead "it does nothing"
part pump "pump" price 10
part valve "valve" price 10
fault pump_dead "pump dead" in pump odds 1
fault valve_shut "valve shut" in valve odds 1
`

const numbers = (count: number) => Array.from({ length: count }, (_, i) => i)

/** A rule that puts so many pigeons into one hole fewer, each its own: it never acts, and resolution is long to show it. */
function pigeons(count: number): Model {
  const holes = numbers(count - 1)
  const name = (pigeon: number, hole: number) => `p${pigeon}_${hole}`
  const names = numbers(count).flatMap((pigeon) => holes.map((hole) => name(pigeon, hole)))
  const housed = numbers(count).map(
    (pigeon) => `(${holes.map((hole) => `${name(pigeon, hole)} is yes`).join(" or ")})`,
  )
  const alone = holes.flatMap((hole) =>
    numbers(count).flatMap((a) =>
      numbers(a).map((b) => `not (${name(a, hole)} is yes and ${name(b, hole)} is yes)`),
    ),
  )
  return modelFrom(`${head}
${names.map((each) => `reading ${each} "?" yes or no`).join("\n")}
test look "Look" reads ${names.join(", ")} takes 1 min
rule housing: when ${[...housed, ...alone].join(" and ")} rule out pump_dead`)
}

const reading = `reading volts "?" in V from 0 to 10000 by 1
test meter "Meter" reads volts takes 1 min`

const thresholds = (count: number) =>
  modelFrom(`${head}${reading}
${numbers(count)
  .map((i) => `when volts below ${5 * i + 5} V rule out ${i % 2 === 0 ? "pump_dead" : "valve_shut"}`)
  .join("\n")}`)

const equalRules = (count: number) =>
  modelFrom(`${head}${reading}\n${"when volts below 5 V rule out pump_dead\n".repeat(count)}`)

const isOpen = ({ message }: Diagnostic) => message.startsWith("Not proved within the budget")
const open = (diagnostics: readonly Diagnostic[]) => diagnostics.filter(isOpen)

/** What the solver is told and asked, and how many conflicts it meets. */
function work(run: () => void): { clauses: number; questions: number; conflicts: number } {
  const add = vi.spyOn(Solver.prototype, "add")
  const solve = vi.spyOn(Solver.prototype, "solve")
  run()
  const solvers = new Set(solve.mock.contexts as Solver[])
  const conflicts = [...solvers].reduce((sum, solver) => sum + solver.conflicts, 0)
  const counted = { clauses: add.mock.calls.length, questions: solve.mock.calls.length, conflicts }
  add.mockRestore()
  solve.mockRestore()
  return counted
}

describe("a question that is too hard", () => {
  test("is said not to be proved, by name, and nothing is said of it", () => {
    const found = check(pigeons(9))
    const named = open(found).filter(({ code }) => code === "unreachable-rule")
    expect(named.map(({ message }) => message)).toEqual([
      "Not proved within the budget of the analysis: whether `housing` can ever act.",
    ])
    expect(found.filter(({ code }) => code === "unreachable-rule")).toEqual(named)
    expect(named[0]!.severity).toBe("warning")
  })

  test("is proved with a larger budget, or where it is smaller", () => {
    const [small, large] = [() => new Budget(100, 300), () => new Budget(1_000_000, 10_000_000)]
    const proved = (found: readonly Diagnostic[]) =>
      found.some((each) => each.code === "unreachable-rule" && !isOpen(each)) && open(found).length === 0
    expect(proved(check(pigeons(7), undefined, { budget: small() }))).toBe(false)
    expect(proved(check(pigeons(7), undefined, { budget: large() }))).toBe(true)
    expect(proved(check(pigeons(4), undefined, { budget: small() }))).toBe(true)
  })

  test("takes no more than its budget, and all together take no more than theirs", () => {
    const [each, all, effort] = [200, 500, 100]
    const run = () => check(pigeons(12), undefined, { budget: new Budget(each, all, 1), effort })
    const { conflicts, questions } = work(run)
    // Besides, ten gaps between rules are looked for at most, each with an effort of its own.
    expect(conflicts).toBeLessThan(all + each + 10 * effort + questions)
  })

  test("that was answered is explained with an effort of its own, from its first question on", () => {
    const budget = () => new Budget(1_000_000, 10_000_000)
    const verdict = work(() => new Context(pigeons(8), undefined, { budget: budget() }).unreachable)
    let found: Diagnostic[] = []
    const all = work(() => {
      found = check(pigeons(8), undefined, { budget: budget(), effort: 100 })
    })
    expect(verdict.conflicts).toBeGreaterThan(1000)
    expect(all.conflicts).toBeLessThan(verdict.conflicts + 12 * 100 + all.questions)
    const [clash] = found.filter(({ code }) => code === "unreachable-rule")
    expect(clash?.help).toContain("the search reached its limit")
  })

  test("is not asked again while nothing of it changes, and stays open", () => {
    const model = pigeons(9)
    const proofs = new ProofCache()
    const asked = () => {
      let found: Diagnostic[] = []
      const { conflicts } = work(() => {
        found = open(check(model, undefined, { proofs, effort: 0, budget: new Budget(1000, 4000) }))
      })
      return { conflicts, messages: found.map(({ message }) => message) }
    }
    const [first, second] = [asked(), asked()]
    expect(first.messages.length).toBeGreaterThan(0)
    expect(second.messages).toEqual(first.messages)
    expect(first.conflicts).toBeGreaterThan(1000)
    expect(second.conflicts).toBeLessThan(first.conflicts / 10)
  })
})

test("with whatever budget, nothing is said that is not so, and what is missing is said to be open", () => {
  const count = { kept: 0, lost: 0 }
  fc.assert(
    fc.property(fc.integer(), (seed) => {
      const model = smallModel(seeded(seed))
      const key = ({ code, span }: Diagnostic) => `${code} ${span.start} ${span.end}`
      const whole = check(model)
      const tight = check(model, undefined, { budget: new Budget(1, 1, 1) })
      expect(open(whole)).toEqual([])
      const doubted = open(tight)
      const isDoubted = ({ code, span }: Diagnostic) =>
        doubted.some((each) => each.code === code || each.span.start === span.start)
      const sure = tight.filter((each) => !isOpen(each))
      for (const each of sure) {
        count.kept++
        expect(isDoubted(each) || whole.some((other) => key(other) === key(each)), each.message).toBe(true)
      }
      for (const each of whole) {
        if (sure.some((other) => key(other) === key(each))) continue
        count.lost++
        expect(doubted.length, each.message).toBeGreaterThan(0)
      }
    }),
    { numRuns: 400, seed: 3 },
  )
  expect(Math.min(count.kept, count.lost)).toBeGreaterThan(20)
}, 240_000)

describe.each([
  ["thresholds on one reading", thresholds],
  ["equal rules", equalRules],
] as const)("%s", (_, models) => {
  test("take twice the work where there are twice as many", () => {
    const [few, many] = [500, 1000].map((count) => {
      const model = models(count)
      return work(() => expect(open(check(model))).toEqual([]))
    })
    expect(few!.questions).toBeGreaterThan(0)
    expect(many!.questions).toBeLessThan(2.2 * few!.questions + 10)
    // Cells are dealt out to variables of 29 values each, of which any two exclude each other.
    expect(many!.clauses).toBeLessThan(2.5 * few!.clauses + 10)
  })

  test("are all found idle but those that are not", () => {
    const idle = check(models(300), undefined, { limit: 1000 }).filter(({ code }) => code === "idle-rule")
    // Of equal rules each is; of thresholds, all but the highest of each fault.
    expect(idle.length).toBe(models === equalRules ? 300 : 298)
  })
})

test("limits that divide a reading into more ranges than can be kept apart are an error in words", () => {
  const bands = numbers(5001).map((i) => `volts between ${2 * i} and ${2 * i + 0.5} V`)
  const wide = reading.replace("to 10000 by 1", "to 10010 by 0.5")
  const text = `${head}${wide}\nwhen ${bands.join(" or ")} rule out pump_dead`
  const { model, diagnostics } = analyse("large.ruleout", () => text)
  expect(model).toBeUndefined()
  expect(diagnostics.map(({ code, message }) => `${code}: ${message}`)).toEqual([
    "too-fine: 10,002 limits divide `volts` into 10,002 ranges: that is more than can be kept apart.",
  ])
})
