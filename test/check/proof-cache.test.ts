import { expect, test, vi } from "vitest"
import { check } from "../../compiler/check/check.ts"
import { Solver } from "../../compiler/check/logic/solver.ts"
import { ProofCache } from "../../compiler/check/proof-cache.ts"
import type { Span } from "../../compiler/diagnostics/diagnostic.ts"
import type { Condition, Model } from "../../compiler/model/model.ts"
import { tableOf } from "../../compiler/run/indexes.ts"
import { seeded } from "../support/models.ts"
import { realistic } from "./large.ts"
import { smallModel } from "./small.ts"

const plain = (model: Model, proofs?: ProofCache) =>
  JSON.stringify(check(model, undefined, proofs ? { proofs } : {}))

/** The same ruleset with the condition of one rule turned round. */
const edited = (model: Model, at: number): Model => ({ ...model, rules: tableOf(turned(model.rules, at)) })

function turned<T extends { readonly condition: Condition; readonly span: Span }>(
  all: readonly T[],
  at: number,
): T[] {
  return all.map((each, i) =>
    i === at ? { ...each, condition: { kind: "not", item: each.condition, span: each.span } } : each,
  )
}

/** With a test for each reading, so that all codes of conditions have their say. */
function readable(model: Model): Model {
  const [read] = realistic(seeded(1), { rules: 1, faults: 8, readings: 2 }).tests
  return {
    ...model,
    tests: tableOf(model.readings.map(({ name }, i) => ({ ...read!, name: `read_${name}`, reads: [i] }))),
  }
}

/** How many questions a run asks the solver. */
function questions(work: () => void): number {
  const asked = vi.spyOn(Solver.prototype, "solve")
  work()
  const count = asked.mock.calls.length
  asked.mockRestore()
  return count
}

/** A fresh space asks whether any machine is possible at all, and for one of them. */
const ALWAYS = 2

test("the same text again needs no proof at all", () => {
  const proofs = new ProofCache()
  const model = realistic(seeded(11), { rules: 300, faults: 90, readings: 60 })
  let first = ""
  expect(questions(() => (first = plain(model, proofs)))).toBeGreaterThan(200)
  expect(questions(() => expect(plain(model, proofs)).toBe(first))).toBeLessThanOrEqual(ALWAYS)
  expect(proofs.made).toBe(0)
})

test("changing one rule of 700 asks again only what it touches", () => {
  const proofs = new ProofCache()
  const model = realistic(seeded(12), { rules: 700, faults: 150, readings: 100 })
  const all = questions(() => check(model, undefined, { proofs }))
  expect(all).toBeGreaterThan(500)
  let now = model
  for (const at of [17, 100, 253]) {
    now = edited(now, at)
    let reused = ""
    // The rule itself, rules that share its readings and faults, and the faults that it speaks of.
    expect(questions(() => (reused = plain(now, proofs)))).toBeLessThan(all / 20)
    expect(reused).toBe(plain(now))
  }
})

test("whatever was proved before, the findings are those of a fresh run", () => {
  const draw = seeded(13)
  for (let round = 0; round < 100; round++) {
    const proofs = new ProofCache()
    let model = readable(smallModel(draw))
    for (let step = 0; step < 4; step++) {
      expect(codes(check(model, undefined, { proofs }))).toEqual(codes(check(model)))
      const never = draw.int(0, 2) === 0 && model.nevers.length > 0
      model = never
        ? { ...model, nevers: turned(model.nevers, draw.int(0, model.nevers.length - 1)) }
        : edited(model, draw.int(0, model.rules.length - 1))
    }
  }
})

/** What is found and where. Of several contradictions, others may be met first. */
function codes(diagnostics: ReturnType<typeof check>): string[] {
  return [
    ...new Set(diagnostics.map(({ code, span }) => `${code} ${code === "contradiction" ? "" : span.start}`)),
  ]
}
