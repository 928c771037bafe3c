import fc from "fast-check"
import { describe, expect, test } from "vitest"
import type { GraphReading } from "../../compiler/run/graph.ts"
import { tableOf } from "../../compiler/run/indexes.ts"
import { cellsText } from "../../compiler/wording/ranges.ts"

const ohms: GraphReading = {
  name: "ohms",
  question: "Across the winding",
  told: false,
  unit: "ohm",
  from: 0,
  to: 1000,
  by: 1,
  cells: tableOf([
    { label: "below 5 ohm", from: 0, to: 4 },
    { label: "5 to 40 ohm", from: 5, to: 40 },
    { label: "41 to 200 ohm", from: 41, to: 200 },
    { label: "above 200 ohm", from: 201, to: 1000 },
  ]),
}
const lights: GraphReading = {
  name: "light",
  question: "Which light?",
  told: false,
  cells: tableOf(["red", "amber", "off"].map((value) => ({ label: value, values: [value] }))),
}

/** Whether a value is in what the words say: the words read once more, by a rule of their own. */
function says(text: string, value: number): boolean {
  return text.split(" or ").some((range) => {
    const [, word, low, high] = /^(below|above|up to|from)? ?(\d+)(?: to (\d+))? ohm$/.exec(range)!
    if (word === "below") return value < Number(low)
    if (word === "above") return value > Number(low)
    if (word === "up to") return value <= Number(low)
    if (word === "from") return value >= Number(low)
    return value >= Number(low) && value <= Number(high ?? low)
  })
}

describe("cells in words", () => {
  test("cells side by side are one range, others stand apart, and each value is where it belongs", () => {
    expect(cellsText(ohms, [0, 1, 2])).toBe("up to 200 ohm")
    expect(cellsText(ohms, [2, 0, 3])).toBe("below 5 ohm or from 41 ohm")
    expect(cellsText(ohms, [1, 2])).toBe("5 to 200 ohm")
    fc.assert(
      fc.property(
        fc.subarray([0, 1, 2, 3], { minLength: 1 }),
        fc.integer({ min: 0, max: 1000 }),
        (cells, value) => {
          const isIn = cells.some((c) => value >= ohms.cells[c]!.from! && value <= ohms.cells[c]!.to!)
          expect(says(cellsText(ohms, cells), value)).toBe(isIn)
        },
      ),
    )
  })

  test("choices are listed", () => {
    expect(cellsText(lights, [0, 1])).toBe("red or amber")
  })
})
