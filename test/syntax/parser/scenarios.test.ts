import { describe, expect, test } from "vitest"
import { bind } from "../../../compiler/model/bind.ts"
import { print } from "../../../compiler/syntax/format/format.ts"
import { SCENARIO_WORDS, scenario } from "../../../compiler/syntax/language/scenarios.ts"
import { parse } from "../../../compiler/syntax/parser/parse.ts"
import type { ScenarioDecl } from "../../../compiler/syntax/syntax-tree.ts"

const read = (text: string) => parse("shop.ruleout", text)
const said = (text: string) => read(text).diagnostics.map(({ code, message }) => `${code}: ${message}`)

test("each clause is read by its example, and printed as it was", () => {
  for (const { example, field } of scenario.clauses) {
    const source = `scenario "one"\n  ${example}\n`
    const { tree, diagnostics } = read(source)
    expect(diagnostics, example).toEqual([])
    const [decl] = tree.declarations as readonly [ScenarioDecl]
    expect((decl as unknown as Record<string, unknown[]>)[field], example).toHaveLength(1)
    expect(print(tree)).toBe(source)
  }
})

test("all of them together keep their order, on however few lines they are written", () => {
  const steps = [...scenario.clauses].reverse().map(({ example }) => example)
  const source = `scenario "all"\n  ${steps.join("\n  ")}\n`
  expect(print(read(`scenario "all" ${steps.join(" ")}`).tree)).toBe(source)
  expect(said(source)).toEqual([])
})

describe("mistakes are said at their place, and the other steps are kept", () => {
  test.each([
    ['scenario one "x"', "Expected a text in quotes"],
    ['scenario "x" does try_panel', "Expected `gone` or `stays`"],
    ['scenario "x" does try_panel gon', "`gon` isn't a keyword; `gone` is."],
    ['scenario "x" closes gone', "Expected `holds` or `fails`"],
    ['scenario "x" finds rail', "Expected `is`"],
    ['scenario "x" expects panel_dead above 3%', "Expected `ruled out`, `at least` or `at most`"],
    ['scenario "x" price 3', "`price` doesn't belong in a scenario."],
  ])("%s", (source, message) => {
    const whole = `${source}\n  expects close\n`
    expect(said(whole).join("\n")).toContain(message)
    const [decl] = read(whole).tree.declarations as readonly [ScenarioDecl]
    expect(decl.expectsClose).toHaveLength(1)
  })
})

test("its words are names everywhere else, and in its own names' places", () => {
  const words = SCENARIO_WORDS.split(" ")
  const parts = words.map((word) => `part ${word} "${word}" price 3 spare`).join("\n")
  const source = `ruleset shop "shop" money EUR bench 60 per hour
complaint dead "dead"
${parts}
fault broken "broken" in finds odds 3
test try "try" swaps ${words.join(", ")} takes 3 min
scenario "names" puts back look gone keeps again expects replace gone expects broken ruled out replaces does stays
`
  const { tree, diagnostics } = read(source)
  expect(diagnostics).toEqual([])
  const bound = bind([tree])
  expect(bound.diagnostics.filter(({ severity }) => severity === "error")).toEqual([])
  expect(
    bound.scenarios.map(({ steps }) => steps.map((step) => ("act" in step ? step.act : step.kind))),
  ).toEqual([
    [{ putBack: "look" }, { keep: "again" }, { replace: "gone" }, "expects fault", { replace: "does" }],
  ])
})
