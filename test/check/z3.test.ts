import fc from "fast-check"
import { afterAll, beforeAll, expect, test } from "vitest"
import { type CheckOptions, Context } from "../../compiler/check/context.ts"
import { contradictions, unexplained } from "../../compiler/check/proofs/contradictions.ts"
import { deadFaults } from "../../compiler/check/proofs/dead-faults.ts"
import { idleRules } from "../../compiler/check/proofs/idle-rules.ts"
import { opposedPairs } from "../../compiler/check/proofs/opposed-rules.ts"
import type { Model } from "../../compiler/model/model.ts"
import { smallModel } from "./small.ts"
import { type Question, questionsOf, scriptOf, startZ3, type Z3 } from "./z3.ts"

let z3: Z3
beforeAll(async () => {
  z3 = await startZ3()
}, 60_000)
afterAll(() => z3.end())

const about = (question: Question) => question.about

/** What our analysis answers to the same questions, by the same names. */
function ours(model: Model, options?: CheckOptions): Map<string, boolean> {
  const context = new Context(model, undefined, options)
  const answers = new Map<string, boolean>([["possible", context.possible]])
  const idle = new Set(idleRules(context).map((each) => each.rule))
  const pairs = new Set(opposedPairs(context).map(({ leaves, against }) => `${leaves} ${against}`))
  const dead = new Set(deadFaults(context).map((each) => each.fault))
  for (const i of model.rules.keys()) {
    const reach = context.possible && !context.unreachable[i]
    answers.set(`reach ${i}`, reach)
    answers.set(`acts ${i}`, reach && !idle.has(i))
    for (const j of model.rules.keys()) answers.set(`opposed ${i} ${j}`, pairs.has(`${i} ${j}`))
  }
  answers.set("hole", contradictions(context).length > 0)
  answers.set("unexplained", unexplained(context) !== undefined)
  for (const f of model.faults.keys()) answers.set(`alive ${f}`, context.possible && !dead.has(f))
  return answers
}

test("1,000 random rulesets: the same verdicts as z3-solver", async () => {
  const sizes = { readings: 4, cells: 3, faults: 3, rules: 5, nevers: 2, depth: 2 }
  const models = fc
    .gen()
    .map((g) =>
      smallModel({ int: (from, to) => g(fc.integer, { min: from, max: Math.max(from, to) }) }, sizes),
    )
  const seen = new Map<string, number>()
  let rulesets = 0
  const sameVerdicts = fc.asyncProperty(
    fc.array(models, { minLength: 1, maxLength: 60, size: "max" }),
    async (batch) => {
      const cases = batch.map((model) => {
        const answers = ours(model)
        // The same where no findings are tried out one by one and all is for the solver to say.
        expect(ours(model, { exhaustive: 0 })).toEqual(answers)
        const questions = questionsOf(model)
        for (const question of questions) {
          const kind = `${about(question).split(" ")[0]} ${answers.get(about(question))}`
          seen.set(kind, (seen.get(kind) ?? 0) + 1)
        }
        const yes = questions.filter((question) => answers.get(about(question)))
        const no = questions.filter((question) => !yes.includes(question))
        // A rule that takes a fault by itself can be reached: one question less to ask.
        const implied = (name: string) =>
          name === "possible" || answers.get(name.replace("reach", "acts")) === true
        return {
          model,
          yes: yes.filter(({ about: name }) => !/^(reach|possible)/.test(name) || !implied(name)),
          no,
        }
      })
      const [all, any] = await z3.ask(scriptOf(cases), 2)
      const named = cases.map(({ yes, no }) => `yes: ${yes.map(about)}; no: ${no.map(about)}`)
      expect({ all, any }, named.join("\n")).toEqual({ all: true, any: false })
      rulesets += batch.length
    },
  )
  while (rulesets < 1000) await fc.assert(sameVerdicts, { numRuns: 10 })
  // Both answers came up often enough for the comparison to mean something.
  for (const kind of ["reach", "acts", "opposed", "hole", "unexplained", "alive"]) {
    expect(Math.min(seen.get(`${kind} true`) ?? 0, seen.get(`${kind} false`) ?? 0), kind).toBeGreaterThan(50)
  }
}, 240_000)
