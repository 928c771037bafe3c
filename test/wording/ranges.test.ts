import { expect, test } from "vitest"
import {
  cellsText,
  comparison,
  comparisons,
  flaggedRuns,
  gridValue,
  typicalValue,
} from "../../compiler/wording/ranges.ts"

const grid = { from: 0, by: 0.1, count: 301, unit: "V" }
/** 0 to 14.9, 15 to 22.7, 22.8 to 30 V. */
const rail = {
  grid,
  cells: [
    { label: "low", first: 0, last: 149 },
    { label: "sagging", first: 150, last: 227 },
    { label: "good", first: 228, last: 300 },
  ],
}
const glow = { cells: [{ label: "yes" }, { label: "no" }, { label: "dim" }] }

test("grid values have the decimals of the step", () => {
  expect([gridValue({ from: 0, by: 0.1 }, 3), gridValue({ from: 0.05, by: 1 }, 2)]).toEqual(["0.3", "2.05"])
  expect(gridValue({ from: 0, by: 1e-7 }, 3)).toBe("3e-7")
})

test("cells side by side are one run", () => {
  expect(flaggedRuns([true, true, false, true])).toEqual([
    [0, 1],
    [3, 3],
  ])
})

test("a comparison is written as an author would have written it", () => {
  expect(comparison(rail, [true, false, false])).toBe("below 15 V")
  expect(comparison(rail, [false, true, false])).toBe("between 15 and 22.7 V")
  expect(comparison(rail, [false, false, true])).toBe("at least 22.8 V")
  expect(comparison(rail, [true, false, true])).toBe("outside 15 and 22.7 V")
  expect(comparison(rail, [false, false, false])).toBe("at none of the values from 0 to 30 V")
  expect(comparison(glow, [true, false, false])).toBe("is yes")
  expect(comparison(glow, [true, true, false])).toBe("is not dim")
  expect(comparison(glow, [false, false, false])).toBe("is none of its values")
})

test("several ranges are several comparisons, and a cell is told by a value from its middle", () => {
  const four = {
    grid,
    cells: [0, 50, 100, 150].map((first) => ({ label: "", first, last: first === 150 ? 300 : first + 49 })),
  }
  expect(comparisons(four, [true, false, true, false])).toEqual(["below 5 V", "between 10 and 14.9 V"])
  expect([typicalValue(rail, 1), typicalValue(glow, 2)]).toEqual(["18.8 V", "dim"])
})

test("cells of a graph are said as ranges, and words one by one", () => {
  const reading = {
    unit: "V",
    cells: [
      { label: "below 15 V", from: 0, to: 14.9 },
      { label: "15 to 22.7 V", from: 15, to: 22.7 },
      { label: "from 22.8 V", from: 22.8, to: 30 },
    ],
  }
  expect(cellsText(reading, [0])).toBe("below 15 V")
  expect(cellsText(reading, [1, 0])).toBe("up to 22.7 V")
  expect(cellsText(reading, [1, 2])).toBe("from 15 V")
  expect(cellsText(reading, [0, 2])).toBe("below 15 V or from 22.8 V")
  expect(cellsText(reading, [0, 1, 2])).toBe("0 to 30 V")
  expect(cellsText(glow, [0, 1])).toBe("yes or no")
})
