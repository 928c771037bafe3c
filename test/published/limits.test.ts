import { existsSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { load } from "../../compiler/model/load.ts"
import type { Condition, Quantity } from "../../compiler/syntax/syntax-tree.ts"

const root = join(import.meta.dirname, "../..")
const flagship = join(root, "rulesets/desktop-no-picture/desktop-no-picture.ruleout")
const { trees } = load(flagship, (path) => (existsSync(path) ? readFileSync(path, "utf8") : undefined))
const declarations = trees.flatMap((tree) => tree.declarations)

/** Every limit that the flagship sets on a reading, anywhere: `below 4.75`, `between 4.75 and 5.25`, with its unit. */
function limitsOn(reading: string): string[] {
  const found: string[] = []
  const numbers = (all: readonly Quantity[]) => all.map((each) => each.value).join(" and ")
  const walk = (condition: Condition | undefined, named?: string) => {
    if (condition === undefined) return
    if (condition.kind === "not") walk(condition.item, named)
    else if (condition.kind !== "compare") for (const item of condition.items) walk(item, named)
    else if ((condition.reading?.text ?? named) === reading) {
      found.push(
        `${condition.comparison} ${numbers(condition.numbers)} ${condition.numbers.at(-1)?.unit?.text}`,
      )
    }
  }
  for (const each of declarations) {
    if (each.kind === "fault") for (const shows of each.shows) walk(shows.condition, shows.what.text)
    if (each.kind === "reading" && each.normally) walk(each.normally.condition, each.name?.text)
    if (each.kind === "rule" || each.kind === "never") walk(each.condition)
    if (each.kind === "test") walk(each.onlyIf)
  }
  return [...new Set(found)]
}

describe("the limits of the flagship are the standards'", () => {
  // ATX12V power supply design guide 2.0, table 2 (DC output voltage regulation): +12 V ± 5 %, +5 V ± 5 %.
  test.each([
    ["rail_12", 11.4, 12.6],
    ["cpu_12", 11.4, 12.6],
    ["rail_5", 4.75, 5.25],
  ])("%s is right from %f to %f V", (reading, low, high) => {
    expect(limitsOn(reading)).toContain(`between ${low} and ${high} V`)
    expect(limitsOn(reading)).toContain(`below ${low} V`)
  })

  // The same family of guides, timing table: 100 to 500 ms in those before 2020 (100 to 250 ms since).
  test("power-good comes 100 to 500 ms after the rails", () => {
    expect(limitsOn("good_delay")).toContain("between 100 and 500 ms")
  })

  // The same: PS_ON# is active low, low is at most 0.8 V.
  test("the power-on line is low up to 0.8 V", () => {
    expect(limitsOn("wake_line")).toContain("at most 0.8 V")
  })

  // IEC 60038: 230 V ± 10 %.
  test("mains is right from 207 to 253 V", () => {
    expect(limitsOn("mains")).toContain("between 207 and 253 V")
    expect(230 * 0.9).toBeCloseTo(207, 9)
    expect(230 * 1.1).toBeCloseTo(253, 9)
  })

  // IEC 60086, type CR2032 (data sheets): 3.0 V nominal, cut-off 2.0 V.
  test("a coin cell is flat below 2.0 V", () => {
    expect(limitsOn("cell_volts")).toContain("below 2 V")
  })

  // Common practice, no source: at 80 °C and more at rest in the firmware setup the cooling is at fault.
  test("a processor at rest is too hot from 80 °C", () => {
    expect(limitsOn("idle_heat")).toContain("at least 80 degC")
  })

  test("every one of these limits names its source in the ruleset", () => {
    const text = trees
      .map((tree) =>
        readFileSync(tree.file.startsWith("/") ? tree.file : join(flagship, "..", tree.file), "utf8"),
      )
      .join("\n")
    const comments = [...text.matchAll(/#(.*)/g)].map((match) => match[1]).join("\n")
    for (const source of [
      "ATX12V power supply design guide",
      "IEC 60038",
      "IEC 60086",
      "common practice, no source",
    ]) {
      expect(comments).toContain(source)
    }
  })
})
