import { readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { play } from "../../compiler/cases/scenarios/play.ts"
import { analyse, compile } from "../../compiler/compile.ts"
import { type Diagnostic, inOrder } from "../../compiler/diagnostics/diagnostic.ts"
import { bind } from "../../compiler/model/bind.ts"
import { load } from "../../compiler/model/load.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { open } from "../../compiler/run/index.ts"
import { formsOf } from "../../compiler/syntax/language/forms.ts"
import { DECLARATIONS } from "../../compiler/syntax/language/statements.ts"
import { type Example, examplesOf, said } from "../support/examples.ts"

const folder = join(import.meta.dirname, "../../compiler/reference")
const pages = readdirSync(folder)
  .filter((name) => name.endsWith(".md"))
  .map((name) => ({ name, text: readFileSync(join(folder, name), "utf8") }))
const frame = pages
  .flatMap(({ name, text }) => examplesOf(name, text))
  .find((example) => example.info === "ruleout frame")!

/** A short example stands below the frame; a whole one stands for itself. */
function whole(example: Example): string {
  return /^ruleset /m.test(example.text) ? example.text : `${frame.text}\n${example.text}`
}

const only = (text: string) => (path: string) => (path === "example.ruleout" ? text : undefined)

/** What the language says; the pages of the analysis have examples of their own. */
function findingsIn(text: string): readonly Diagnostic[] {
  const { trees, sources, diagnostics } = load("example.ruleout", only(text))
  return inOrder([...diagnostics, ...bind(trees, sources).diagnostics])
}

function graphOf(text: string): Graph {
  return compile("example.ruleout", () => text, { gap: 0, mass: 0 }).graph!
}

const withExamples = pages.filter(({ name, text }) =>
  examplesOf(name, text).some(({ info }) => info.startsWith("ruleout")),
)

describe.each(withExamples)("$name", ({ name, text }) => {
  for (const example of examplesOf(name, text)) {
    if (!example.info.startsWith("ruleout")) continue
    const results =
      example.results.length === 0 ? "is clean" : `has its ${example.results.map((r) => r.info)}`
    test(`the example at line ${example.line} ${results}`, () => {
      const source = whole(example)
      const diagnostics = example.results.find((result) => result.info === "findings")
      expect(said(findingsIn(source))).toBe(diagnostics?.text ?? "")
      for (const each of playedIn(source)) expect(each.failures).toEqual([])
      const plan = example.results.find((result) => result.info === "plan")
      if (plan) expectPlan(graphOf(source), plan.text)
    })
  }
})

function playedIn(source: string) {
  if (!/^scenario /m.test(source)) return []
  const { graph, scenarios } = compile("example.ruleout", only(source))
  return scenarios.map((scenario) => play(open(graph), scenario))
}

function expectPlan(graph: Graph, stated: string): void {
  const lines = stated.split("\n").map((line) => line.split(" ") as [string, string])
  expect(lines.length).toBeGreaterThan(0)
  const start = graph.nodes[graph.start]!
  for (const [what, value] of lines) {
    if (what === "first") expect(start.do === "test" && graph.tests[start.test]!.name).toBe(value)
    else expect(graph.expected[what as keyof Graph["expected"]], what).toBeCloseTo(Number(value), 9)
  }
}

describe("the reference is whole", () => {
  const code = pages.map(({ text }) => text.replaceAll(/```findings[\s\S]*?```/g, "")).join("\n")

  test.each(DECLARATIONS)("it has `$keyword` with all of its clauses", ({ keyword, clauses }) => {
    expect(code).toMatch(new RegExp(`^ {4}.*\\b${keyword}\\b`, "m"))
    for (const { words } of clauses) expect(code).toContain(words)
  })

  const kinds = [...new Set(DECLARATIONS.map(({ kind }) => kind))]
  test.each(kinds)("the form of `%s` is that of the language", (kind) => {
    expect(code).toContain(
      `\n${formsOf(kind)
        .map((line) => `    ${line}\n`)
        .join("")}\n`,
    )
  })

  test("the whole ruleset is clean under the analysis too", () => {
    const readme = pages.find(({ name }) => name === "README.md")!
    const [first] = examplesOf(readme.name, readme.text)
    const { diagnostics } = analyse("example.ruleout", only(first!.text))
    expect(said(diagnostics.filter(({ severity }) => severity !== "note"))).toBe("")
  })

  test("an example that should trip says what it trips", () => {
    expect(pages.flatMap(({ name, text }) => examplesOf(name, text)).length).toBeGreaterThan(30)
    expect(said(findingsIn("ruleset a"))).not.toBe("")
  })
})
