import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { makePlan } from "../../compiler/plan/planner.ts"
import { readArff, type Table } from "../support/arff.ts"
import { modelOf } from "../support/sketch.ts"

// Published tables (see SOURCES.md) as classification trees with test costs: each row is a fault, its class the part that
// it lies in, each attribute a test. What the best tree costs is recomputed by trying every tree.
const read = (file: string) => readArff(readFileSync(join(import.meta.dirname, file), "utf8"))

/** So dear that nobody buys a part while a test can still tell which. */
const PRICE = 10_000

function modelFor({ attributes, rows }: Table, costs: readonly number[]) {
  const asked = attributes.slice(0, -1)
  const classes = attributes.at(-1)!.values
  return modelOf({
    bench: 60,
    comeback: 1e6,
    handover: 1e6,
    trust: 1,
    places: classes.map((name) => ({ name: `part_${name}`, kind: "part", price: PRICE })),
    faults: rows.map((row, i) => ({
      name: `row${i}`,
      in: `part_${row.at(-1)}`,
      odds: 1,
      shows: Object.fromEntries(
        asked.map(({ name, values }, a) => [name, values.map((value) => (value === row[a] ? 1 : 0))]),
      ),
    })),
    readings: asked.map(({ name, values }) => ({ name, cells: values })),
    tests: asked.map(({ name }, a) => ({ name: `ask_${name}`, reads: [name], minutes: costs[a]! })),
  })
}

/** Rows by their value of an attribute; `Map.groupBy` needs Node 21. */
function grouped(rows: readonly (readonly string[])[], attribute: number) {
  const groups = new Map<string, (readonly string[])[]>()
  for (const row of rows) {
    const value = row[attribute]!
    groups.set(value, [...(groups.get(value) ?? []), row])
  }
  return groups
}

/** The least cost on average of a tree that tells the class of every row, by trying every tree. */
function leastTree({ rows }: Table, costs: readonly number[]): number {
  const least = (left: readonly (readonly string[])[]): number => {
    if (new Set(left.map((row) => row.at(-1))).size < 2) return 0
    const trees = costs.flatMap((cost, a) => {
      const parts = grouped(left, a)
      if (parts.size < 2) return []
      return [[...parts.values()].reduce((sum, part) => sum + least(part), cost * left.length)]
    })
    return Math.min(...trees)
  }
  return least(rows) / rows.length
}

function testsOf(table: Table, costs: readonly number[]): number {
  const { exact, expected } = makePlan(modelFor(table, costs), { mass: 0, effort: 100_000, bare: true })
  expect(exact).toBe(true)
  expect(expected.parts).toBeCloseTo(PRICE, 6)
  expect(expected.total).toBeCloseTo(PRICE + expected.tests, 6)
  return expected.tests
}

test("of Quinlan's fourteen mornings his own tree takes the fewest questions, and so does the plan", () => {
  const weather = read("weather.nominal.arff")
  // Outlook always, then humidity of the five sunny mornings, and wind of the five that rain (Quinlan 1986, figure 2).
  expect(leastTree(weather, [1, 1, 1, 1])).toBeCloseTo((14 + 5 + 5) / 14, 12)
  expect(testsOf(weather, [1, 1, 1, 1])).toBeCloseTo((14 + 5 + 5) / 14, 9)
})

test.each([{ costs: [1, 1, 1, 1] }, { costs: [1, 1, 2, 10] }])(
  "the tree for lenses with tests that cost $costs is the plan's",
  ({ costs }) => {
    const lenses = read("contact-lenses.arff")
    expect(testsOf(lenses, costs)).toBeCloseTo(leastTree(lenses, costs), 9)
  },
)
