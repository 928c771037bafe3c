import fc from "fast-check"
import { expect, test } from "vitest"
import { bind } from "../../compiler/model/bind.ts"
import type { Condition } from "../../compiler/model/model.ts"
import { parse } from "../../compiler/syntax/parser/parse.ts"

/**
 * Random conditions over one quantity and one choice, as text, against their plain meaning value by value. All numbers
 * are quarters, so that the plain meaning is exact in floating point too; limits in mV fall between grid values as well.
 */
const VALUES = Array.from({ length: 41 }, (_, k) => k / 2)
const COLOURS = ["red", "amber", "green"] as const
type Findings = { readonly rail: number; readonly lamp: string }
type Drawn = { readonly text: string; readonly holds: (at: Findings) => boolean }

const limit = fc.integer({ min: 0, max: 80 }).map((quarters) => quarters / 4)
const volts = (value: number, milli: boolean): string => (milli ? `${value * 1000} mV` : `${value} V`)

const single: fc.Arbitrary<Drawn> = fc
  .tuple(fc.constantFrom("below", "above", "at least", "at most"), limit, fc.boolean())
  .map(([word, x, milli]) => ({
    text: `rail ${word} ${volts(x, milli)}`,
    holds: ({ rail }) =>
      word === "below" ? rail < x : word === "above" ? rail > x : word === "at least" ? rail >= x : rail <= x,
  }))

const pair: fc.Arbitrary<Drawn> = fc
  .tuple(fc.constantFrom("between", "outside"), limit, limit, fc.boolean())
  .map(([word, x, y, milli]) => {
    const [low, high] = x < y ? [x, y] : [y, x]
    return {
      text: `rail ${word} ${milli ? low * 1000 : low} and ${volts(high, milli)}`,
      holds: ({ rail }) => (word === "between" ? rail >= low && rail <= high : rail < low || rail > high),
    }
  })

const choice: fc.Arbitrary<Drawn> = fc
  .tuple(fc.constantFrom("is", "is not", "is one of"), fc.subarray([...COLOURS], { minLength: 1 }))
  .map(([word, colours]) => ({
    text: `lamp ${word} ${word === "is one of" ? colours.join(", ") : colours[0]}`,
    holds: ({ lamp }) =>
      word === "is not"
        ? lamp !== colours[0]
        : word === "is"
          ? lamp === colours[0]
          : (colours as string[]).includes(lamp),
  }))

const { condition } = fc.letrec<{ condition: Drawn }>((tie) => ({
  condition: fc.oneof(
    { depthSize: "small" },
    fc.oneof(single, pair, choice),
    tie("condition").map(({ text, holds }) => ({
      text: `not (${text})`,
      holds: (at: Findings) => !holds(at),
    })),
    fc.tuple(fc.constantFrom("and", "or"), tie("condition"), tie("condition")).map(([word, a, b]) => ({
      text: `(${a.text}) ${word} (${b.text})`,
      holds: (at: Findings) => (word === "and" ? a.holds(at) && b.holds(at) : a.holds(at) || b.holds(at)),
    })),
  ),
}))

const meets = (condition: Condition, cells: readonly number[]): boolean => {
  if (condition.kind === "in") return condition.cells[cells[condition.reading]!]!
  if (condition.kind === "not") return !meets(condition.item, cells)
  return condition.kind === "and"
    ? condition.items.every((item) => meets(item, cells))
    : condition.items.some((item) => meets(item, cells))
}

test("a condition over cells is the condition over values, for every value", () => {
  fc.assert(
    fc.property(fc.array(condition, { minLength: 1, maxLength: 6 }), (drawn) => {
      const text = `ruleset r "R" complaint dark "dark" part box "box" fault worn "worn" in box odds 1
        reading rail "Rail" in V from 0 to 20 by 500 mV
        reading lamp "Lamp" one of red, amber, green
        ${drawn.map((one, i) => (i % 2 === 0 ? `when ${one.text} rule out worn` : `never ${one.text}`)).join("\n")}`
      const { tree, diagnostics } = parse("main.ruleout", text)
      const { model, diagnostics: bound } = bind([tree])
      expect([...diagnostics, ...bound]).toEqual([])
      const [rail, lamp] = model!.readings
      expect(rail!.cells.reduce((sum, { weight }) => sum + weight, 0)).toBe(VALUES.length)
      const conditions = drawn.map((_, i) => (i % 2 === 0 ? model!.rules : model!.nevers)[i >> 1]!.condition)
      for (const [k, value] of VALUES.entries()) {
        const cell = rail!.cells.findIndex(({ first, last }) => first! <= k && k <= last!)
        for (const colour of COLOURS) {
          const cells = [cell, lamp!.cells.findIndex((one) => one.value === colour)]
          drawn.forEach((one, i) => {
            expect(meets(conditions[i]!, cells)).toBe(one.holds({ rail: value, lamp: colour }))
          })
        }
      }
    }),
    { numRuns: 150 },
  )
})

test("every distribution of a model sums to 1, and no label stands twice in a reading", () => {
  const shows = fc.tuple(limit, limit, fc.integer({ min: 0, max: 100 }))
  fc.assert(
    fc.property(
      fc.array(shows, { minLength: 1, maxLength: 4 }),
      fc.integer({ min: 0, max: 100 }),
      (list, trust) => {
        const text = `ruleset r "R" complaint dark "dark" part box "box"
        told guess "Volts, as you saw?" in V from 0 to 20 by 0.5 trust ${trust}%
        reading rail "Rail" in V from 0 to 20 by 0.5 normally below ${list[0]![1] + 0.25} V 70%
        ${list
          .map(
            ([x, y, percent], i) =>
              `fault f${i} "f" in box odds ${i + 1} shows rail between ${Math.min(x, y)} and ${Math.max(x, y) + 0.5} V ${percent}% shows guess at most ${x} V ${percent}%`,
          )
          .join("\n")}`
        const { tree } = parse("main.ruleout", text)
        const { model, diagnostics } = bind([tree])
        // Limits at the very end leave the range, or no value over: said, and no model.
        if (model === undefined) {
          for (const { code } of diagnostics) expect(["out-of-range", "not-hundred"]).toContain(code)
          return
        }
        for (const reading of model.readings) {
          expect(new Set(reading.cells.map(({ label }) => label)).size).toBe(reading.cells.length)
          const all = [
            reading.healthy,
            ...model.faults.map(({ chances }) => chances[model.readings.indexOf(reading)]!),
          ]
          for (const chances of all) {
            expect(chances.reduce((sum, chance) => sum + chance, 0)).toBeCloseTo(1, 12)
            expect(Math.min(...chances)).toBeGreaterThanOrEqual(0)
          }
        }
      },
    ),
    { numRuns: 150 },
  )
})
