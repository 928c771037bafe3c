import { expect, test } from "vitest"
import { check } from "../../compiler/check/check.ts"
import { Memory } from "../../compiler/check/memory.ts"
import type { Model } from "../../compiler/model/model.ts"
import { seeded } from "../support/models.ts"
import { realistic } from "./large.ts"
import { smallModel } from "./small.ts"

const plain = (model: Model, memory?: Memory) =>
  JSON.stringify(check(model, undefined, memory ? { memory } : {}))

/** The same ruleset with the condition of one rule turned round. */
function edited(model: Model, at: number): Model {
  const rules = model.rules.map((rule, i) =>
    i === at ? { ...rule, condition: { kind: "not" as const, item: rule.condition, span: rule.span } } : rule,
  )
  return { ...model, rules }
}

test("the same text again needs no proof at all", () => {
  const memory = new Memory()
  const model = realistic(seeded(11), { rules: 200, faults: 90, readings: 60 })
  const first = plain(model, memory)
  expect(memory.made).toBeGreaterThan(200)
  expect(plain(model, memory)).toBe(first)
  expect(memory.made).toBe(0)
})

test("changing one rule of 400 proves again only what it touches", () => {
  const memory = new Memory()
  const model = realistic(seeded(12), { rules: 400, faults: 150, readings: 100 })
  check(model, undefined, { memory })
  const all = memory.made
  const after = edited(model, 17)
  const reused = plain(after, memory)
  // The rule itself, rules that share its readings and faults, and the faults that it speaks of: not the other 350 rules.
  expect(memory.made).toBeLessThan(all / 10)
  expect(memory.reused).toBeGreaterThan(all * 0.8)
  expect(reused).toBe(plain(after))
})

test("whatever was proved before, the findings are those of a fresh run", () => {
  const draw = seeded(13)
  for (let round = 0; round < 40; round++) {
    const memory = new Memory()
    let model = smallModel(draw)
    for (let step = 0; step < 4; step++) {
      expect(codes(check(model, undefined, { memory }))).toEqual(codes(check(model)))
      model = edited(model, draw.int(0, model.rules.length - 1))
    }
  }
})

/** What is found and where. Of several contradictions, others may be met first. */
function codes(findings: ReturnType<typeof check>): string[] {
  return [
    ...new Set(findings.map(({ code, span }) => `${code} ${code === "contradiction" ? "" : span.start}`)),
  ]
}
