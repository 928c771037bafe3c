/**
 * UCI Soybean (Large), see SOURCES.md: a ruleset drafted from nine tenths of the cases names the disease of the others, ten
 * times over, and gives the same chances as naive Bayes written down from the textbook.
 */
import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { draft } from "../../compiler/cases/fit/draft.ts"
import { graphWithoutPlan } from "../../compiler/cases/fit/fit.ts"
import { machineFor } from "../../compiler/cases/fit/job-history.ts"
import { posterior } from "../../compiler/cases/fit/posterior.ts"
import { columnMapping, readRow } from "../../compiler/cases/table/read-row.ts"
import { bind } from "../../compiler/model/bind.ts"
import { open } from "../../compiler/run/index.ts"
import { parse } from "../../compiler/syntax/parser/parse.ts"
import { readArff, type Table } from "../support/arff.ts"

const { attributes, rows } = readArff(readFileSync(join(import.meta.dirname, "soybean.arff"), "utf8"))
const diagnostics = attributes.slice(0, -1)
const diseases = attributes.at(-1)!.values
const header = [...diagnostics.map(({ name }) => name), "fault"]
const folds = 10

/** How often each disease, and with it each value of each finding, was met. */
function learn(rows: Table["rows"]) {
  return diseases.map((disease) => {
    const own = rows.filter((each) => each.at(-1) === disease)
    const counts = diagnostics.map((_, i) => {
      const known = own.map((each) => each[i]!).filter((value) => value !== "?")
      return { known: known.length, of: (value: string) => known.filter((each) => each === value).length }
    })
    return { disease, cases: own.length, counts }
  })
}

/** Values that occur at all. */
const values = diagnostics.map(
  (_, i) => new Set(rows.map((row) => row[i]!).filter((value) => value !== "?")).size,
)

/**
 * P(class) ∏ P(value | class), both by the m-estimate with m = 1 and equal priors: T. Mitchell, Machine Learning, 1997,
 * 6.9 and 6.9.1.1. A missing value takes no part.
 */
function naiveBayes(learnt: ReturnType<typeof learn>, row: readonly string[]): Map<string, number> {
  const all = learnt.reduce((sum, { cases }) => sum + cases, 0)
  const scores = learnt.map(({ cases, counts }) =>
    counts.reduce(
      (score, { known, of }, i) =>
        row[i] === "?" ? score : (score * (of(row[i]!) + 1 / values[i]!)) / (known + 1),
      (cases + 1 / diseases.length) / (all + 1),
    ),
  )
  const sum = scores.reduce((all, score) => all + score, 0)
  return new Map(diseases.map((disease, i) => [disease, scores[i]! / sum]))
}

test("the drafted ruleset agrees with naive Bayes to 1e-6, and is right in nine cases out of ten", () => {
  expect(rows.length).toBe(683)
  let right = 0
  let loss = 0
  let apart = 0
  for (let fold = 0; fold < folds; fold++) {
    const counted = (row: number) => row % folds !== fold
    const { text, notes } = draft({ header, rows }, { name: "soybean", weight: 1, digits: 15, counted })
    expect(notes).toEqual([])
    const { tree } = parse("soybean.ruleout", text)
    const { model, diagnostics: said } = bind([tree])
    expect(said.filter(({ severity }) => severity === "error")).toEqual([])
    const graph = graphWithoutPlan(model!)
    const mapping = columnMapping(header, graph)
    const job = open(graph)
    const machine = machineFor(graph, { withRules: true })
    const learnt = learn(rows.filter((_, i) => counted(i)))
    rows.forEach((row, i) => {
      if (counted(i)) return
      const { case: record, diagnostics: bad } = readRow(mapping, row, i + 2, graph)
      expect(bad).toEqual([])
      const chances = posterior(machine, record!)!.present(graph.faults.length)
      const reference = naiveBayes(learnt, row)
      graph.faults.forEach(({ label }, fault) => {
        apart = Math.max(apart, Math.abs(chances[fault]! - reference.get(label)!))
      })
      // The runner itself, on some: it takes findings one by one, and weighs all again each time.
      if (i % 70 === fold) {
        const found = record!.steps.flatMap((step) => (typeof step.found === "string" ? [] : step.found))
        const session = found.reduce(
          (so, { reading, cell }) => so.find({ reading: graph.readings[reading]!.name }, [cell]),
          job,
        )
        for (const { info, present } of session.candidates)
          if (info) apart = Math.max(apart, Math.abs(present - reference.get(info.label)!))
      }
      const truth = graph.faults.findIndex(({ label }) => label === row.at(-1))
      if (chances.every((chance) => chance <= chances[truth]!)) right++
      loss -= Math.log(chances[truth]!)
    })
  }
  const accuracy = right / rows.length
  console.info(
    `soybean, 10-fold: accuracy ${accuracy.toFixed(4)}, log loss ${(loss / rows.length).toFixed(4)}`,
  )
  expect(apart).toBeLessThan(1e-6)
  expect(accuracy).toBeGreaterThanOrEqual(0.9)
  expect(loss / rows.length).toBeLessThan(0.6)
})
