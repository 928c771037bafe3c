import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { cellOf, cellsIn, cut, markCuts, quantityDomain } from "../../compiler/model/cells.ts"
import { distribution, distributionError, type Share } from "../../compiler/model/distribution.ts"
import { fractionOf } from "../../compiler/model/fraction.ts"
import { gridOf, positionOf, spellAt } from "../../compiler/model/grid.ts"
import {
  complement,
  type Intervals,
  intersection,
  normalized,
  size,
  union,
} from "../../compiler/model/intervals.ts"

const number = (spelling: string) => fractionOf(spelling)!
const volts = gridOf("V", number("0"), number("30"), number("0.01"))!

describe("grid", () => {
  test("limits land on the values that were meant", () => {
    expect(volts.count).toBe(3001)
    // In binary floating point 8.2 / 0.01 is 819.9999999999999, and 349 of these 3001 values miss their index.
    expect(positionOf(volts, number("22.8"))).toEqual({ from: 2280, after: 2281 })
    expect(positionOf(volts, number("22.7"))).toEqual({ from: 2270, after: 2271 })
    for (let k = 0; k < volts.count; k++) {
      const value = number((k / 100).toFixed(2))
      expect(positionOf(volts, value)).toEqual({ from: k, after: k + 1 })
    }
  })

  test("a limit between two values leaves each on its side", () => {
    expect(positionOf(volts, number("22.705"))).toEqual({ from: 2271, after: 2271 })
    expect(positionOf(volts, number("-1"))).toEqual({ from: 0, after: 0 })
    expect(positionOf(volts, number("31"))).toEqual({ from: 3001, after: 3001 })
  })

  test("values below zero, and a step that is no whole number of which", () => {
    const rail = gridOf("V", number("-13.2"), number("-10.8"), number("0.1"))!
    expect(rail.count).toBe(25)
    expect(spellAt(rail, 0)).toBe("-13.2")
    expect(spellAt(rail, 12)).toBe("-12")
    expect(gridOf("V", number("0"), number("10"), number("3"))).toBeUndefined()
  })
})

describe("labels", () => {
  const labels = (intervals: [number, number][], ...limits: number[]): string[] => {
    const domain = quantityDomain(volts)
    markCuts(domain, normalized(intervals))
    for (const limit of limits) domain.limits.add(limit)
    return cut(domain).cells.map(({ label }) => label)
  }

  test("name the limits that the author wrote", () => {
    expect(labels([[1500, 2700]], 1500, 2700)).toEqual(["below 15 V", "15 to 27 V", "above 27 V"])
    expect(labels([[2280, 2520]], 2280, 2520)).toEqual(["below 22.8 V", "22.8 to 25.2 V", "above 25.2 V"])
    expect(labels([[0, 900]], 900)).toEqual(["up to 9 V", "above 9 V"])
    expect(labels([[900, 3000]], 900)).toEqual(["below 9 V", "from 9 V"])
    expect(labels([[2280, 2280]], 2280)).toEqual(["below 22.8 V", "22.8 V", "above 22.8 V"])
    expect(labels([[0, 0]], 0)).toEqual(["0 V", "above 0 V"])
    expect(labels([[0, 3000]])).toEqual(["0 to 30 V"])
    // `below 9.005 V` names no value of the grid.
    expect(labels([[0, 900]])).toEqual(["up to 9 V", "from 9.01 V"])
  })
})

/** Intervals over `count` values, drawn as a set of flags. */
const intervalsOver = (count: number): fc.Arbitrary<Intervals> =>
  fc
    .array(fc.tuple(fc.nat(count - 1), fc.nat(6)), { maxLength: 3 })
    .map((spans) => normalized(spans.map(([first, more]) => [first, Math.min(count - 1, first + more)])))

const flags = (intervals: Intervals, count: number): boolean[] =>
  Array.from({ length: count }, (_, i) => intervals.some(([first, last]) => first <= i && i <= last))

describe("intervals are sets", () => {
  const COUNT = 24
  test("union, intersection, complement and size agree with flags", () => {
    fc.assert(
      fc.property(intervalsOver(COUNT), intervalsOver(COUNT), (a, b) => {
        const [left, right] = [flags(a, COUNT), flags(b, COUNT)]
        expect(flags(union(a, b), COUNT)).toEqual(left.map((held, i) => held || right[i]!))
        expect(flags(intersection(a, b), COUNT)).toEqual(left.map((held, i) => held && right[i]!))
        expect(flags(complement(a, COUNT), COUNT)).toEqual(left.map((held) => !held))
        expect(size(a)).toBe(left.filter(Boolean).length)
      }),
    )
  })
})

describe("cells and chances", () => {
  const COUNT = 40
  const grid = gridOf("mV", number("0"), number("39"), number("1"))!
  const cutBy = (conditions: readonly Intervals[]) => {
    const domain = quantityDomain(grid)
    for (const intervals of conditions) markCuts(domain, intervals)
    return cut(domain)
  }

  test("cells partition the grid, no condition tells a cell's values apart, and some condition tells neighbours apart", () => {
    fc.assert(
      fc.property(fc.array(intervalsOver(COUNT), { maxLength: 5 }), (conditions) => {
        const made = cutBy(conditions)
        const sets = conditions.map((intervals) => flags(intervals, COUNT))
        let next = 0
        for (const [i, { first, last, weight }] of made.cells.entries()) {
          expect(first).toBe(next)
          expect(weight).toBe(last! - first! + 1)
          next = last! + 1
          for (let k = first!; k <= last!; k++) {
            expect(cellOf(made, k)).toBe(i)
            for (const set of sets) expect(set[k]).toBe(set[first!])
          }
          if (next < COUNT) expect(sets.some((set) => set[next - 1] !== set[next])).toBe(true)
        }
        expect(next).toBe(COUNT)
        conditions.forEach((intervals, c) => {
          const cells = cellsIn(made, intervals)
          expect(made.cells.map(({ first }) => sets[c]![first!])).toEqual(cells)
        })
        expect(new Set(made.cells.map(({ label }) => label)).size).toBe(made.cells.length)
      }),
    )
  })

  test("what is sound sums to 1 and spreads by base measure", () => {
    const shares = fc
      .array(fc.tuple(intervalsOver(COUNT), fc.integer({ min: 0, max: 60 })), { maxLength: 3 })
      .map((list) =>
        list.map(
          ([intervals, percent]): Share => ({ intervals, chance: { top: BigInt(percent), bottom: 100n } }),
        ),
      )
    let sound = 0
    fc.assert(
      fc.property(shares, (list) => {
        if (distributionError(list, COUNT) !== undefined) return
        sound++
        const made = cutBy(list.map(({ intervals }) => intervals))
        const chances = distribution(list, made)
        // The plain reading of the reference, value by value.
        const values = new Array<number>(COUNT).fill(0)
        const left = new Array<boolean>(COUNT).fill(true)
        let rest = 1
        for (const { intervals, chance } of list) {
          const held = flags(intervals, COUNT)
          const share = Number(chance.top) / 100
          rest -= share
          held.forEach((yes, k) => {
            if (yes) [values[k], left[k]] = [share / held.filter(Boolean).length, false]
          })
        }
        const over = left.filter(Boolean).length
        left.forEach((yes, k) => {
          if (yes) values[k] = rest / over
        })
        made.cells.forEach(({ first, last }, i) => {
          const expected = values.slice(first, last! + 1).reduce((sum, chance) => sum + chance, 0)
          expect(chances[i]).toBeCloseTo(expected, 12)
        })
        expect(chances.reduce((sum, chance) => sum + chance, 0)).toBeCloseTo(1, 12)
      }),
    )
    expect(sound).toBeGreaterThan(20)
  })
})
