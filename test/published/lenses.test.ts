import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { analyse } from "../../compiler/compile.ts"
import { readArff, type Table } from "../support/arff.ts"

// J. Cendrowska, "PRISM", Int. J. Man-Machine Studies 27, 1987: the whole table of 24 findings (see SOURCES.md). That the
// table is free of contradictions, gaps and idle rows: recomputed.
const lenses = readArff(readFileSync(join(import.meta.dirname, "contact-lenses.arff"), "utf8"))

const name = (text: string) => text.replaceAll("-", "_")

/** The table as rules, one a row. */
function rulesOf({ attributes, rows }: Table): string {
  const asked = attributes.slice(0, -1)
  const classes = attributes.at(-1)!.values
  return [
    `ruleset lenses "Which lenses"`,
    `complaint blurred "the letters are blurred"`,
    ...classes.map((each) => `part ${each}_part "${each}" price 1 spare`),
    ...classes.map((each) => `fault fits_${each} "${each} lenses" in ${each}_part odds 1`),
    ...asked.map(
      (each) => `reading ${name(each.name)} "${each.name}" one of ${each.values.map(name).join(", ")}`,
    ),
    `test ask "Ask all four" reads ${asked.map((each) => name(each.name)).join(", ")} takes 1 min`,
    ...classes.map((each) => `test try_${each} "Try ${each}" swaps ${each}_part takes 5 min`),
    ...rows.map((row) => {
      const condition = asked.map((each, i) => `${name(each.name)} is ${name(row[i]!)}`).join(" and ")
      return `when ${condition} leaves only fits_${row.at(-1)}`
    }),
  ].join("\n")
}

const codesOf = (text: string) => analyse("lenses.ruleout", () => text).diagnostics.map(({ code }) => code)

test("the whole table is without contradiction, gap or idle row", () => {
  expect(lenses.rows).toHaveLength(24)
  expect(codesOf(rulesOf(lenses))).toEqual([])
})

test("a row that says something else contradicts, and one that says the same is idle", () => {
  const [first, ...rest] = lenses.rows
  const other = [...first!.slice(0, -1), "hard"]
  expect(first!.at(-1)).toBe("none")
  expect(codesOf(rulesOf({ ...lenses, rows: [first!, other, ...rest] }))).toContain("opposed-rules")
  expect(codesOf(rulesOf({ ...lenses, rows: [first!, first!, ...rest] }))).toContain("idle-rule")
})
