import { describe, expect, test } from "vitest"
import { estimate } from "../../../compiler/cases/fit/estimate.ts"
import { fitTo, isHarmful, unplanned } from "../../../compiler/cases/fit/fit.ts"
import { machineFor } from "../../../compiler/cases/fit/job-history.ts"
import { graphWith, written } from "../../../compiler/cases/fit/parameter-values.ts"
import { parametersOf } from "../../../compiler/cases/fit/parameters.ts"
import { numberChanges, patched, percents } from "../../../compiler/cases/fit/patch.ts"
import { posterior } from "../../../compiler/cases/fit/posterior.ts"
import { renderFit } from "../../../compiler/cases/fit/render-text.ts"
import type { Case } from "../../../compiler/cases/record/case.ts"
import { readCases } from "../../../compiler/cases/record/read.ts"
import { analyse } from "../../../compiler/compile.ts"
import { type Graph, type Recorded, reopen } from "../../../compiler/run/index.ts"
import { jobs, TILL, till, WHOLE_TILL } from "../till.ts"

function casesOf(graph: Graph, lines: readonly string[]): Case[] {
  return [...readCases(lines.join("\n"), graph)].flatMap(({ case: record }) => record ?? [])
}

const fitted = (text: string, lines: readonly string[], weight: number) => {
  const { model, trees, sources } = till(text)
  const fit = fitTo(model, trees, casesOf(unplanned(model), lines), weight)
  return { fit, text: patched(fit.changes, sources).get("till.ruleout") ?? text }
}

/** The same ruleset with other numbers, as an author who has not seen the cases might have guessed them. */
const GUESSED = TILL.replace("odds 6", "odds 12")
  .replace("70%\n  shows force at least 10 N 20%", "50%\n  shows force at least 10 N 30%")
  .replace("shows shut 60%", "shows shut 85%")
  .replace("moved is yes 70%", "moved is yes 50%")
  .replace("click is no 75%", "click is no 50%")
  .replace("N 85%", "N 60%")
  .replace("trust 80%", "trust 60%")
  .replace("redo cures 80%", "redo cures 50%")
  .replace("rail 50%", "rail 80%")
  .replace("is yes 95%", "is yes 80%")

describe("numbers are learnt", () => {
  const truth = till()
  const lines = jobs(truth.model, 500, 5)
  const { fit, text } = fitted(GUESSED, lines, 1)

  test("each comes back from a wrong guess, within its interval", () => {
    const wanted: Record<string, number> = {
      "shows plug_loose on click": 0.75,
      "shows rail_bent on force": 0.85,
      "normally click": 0.95,
      "recurs plug_loose": 0.6,
      "trust moved": 0.8,
      "cures plug": 0.8,
      "cures rail in align": 0.5,
    }
    const found = new Map(fit.changes.map((each) => [`${each.kind} ${each.name}`, each]))
    for (const [name, chance] of Object.entries(wanted)) {
      const { to, seen } = found.get(name)!
      // Four standard errors of a count; twice that where what was counted is hidden, and its chance itself is estimated.
      const error = Math.sqrt((chance * (1 - chance)) / seen.of) * (/^(shows|normally)/.test(name) ? 4 : 8)
      expect(Math.abs(Number(to) / 100 - chance), `${name}: ${to}`).toBeLessThan(error + 0.001)
    }
    expect(found.get("odds lock_worn")!.seen.share).toBeCloseTo(6 / 21, 1)
  })

  test("the patch is numbers only: comments and layout stay, and what is hard stays", () => {
    const blank = (source: string) => source.replace(/\d+(\.\d+)?/g, "0")
    expect(blank(text)).toBe(blank(GUESSED))
    expect(text).toContain("  shows click is no\n")
    expect(text).not.toBe(GUESSED)
    expect(analyse("till.ruleout", () => text).diagnostics).toEqual(
      analyse("till.ruleout", () => TILL).diagnostics.map((each) =>
        expect.objectContaining({ code: each.code }),
      ),
    )
  })

  test("it helps, and says so; fitted again it changes next to nothing", () => {
    expect(fit.validation).toMatchObject({ verdict: "helps", cases: 500 - fit.validation!.ruledOut })
    const again = fitted(text, lines, 1).fit
    // The numbers have seen all of these cases by now, those of the parts have not.
    expect(again.validation!.verdict).not.toBe("helps")
    for (const { from, to } of again.changes) expect(Math.abs(Number(from) - Number(to))).toBeLessThan(0.5)
  })
})

describe("the numbers of the whole job are learnt", () => {
  const guessed = WHOLE_TILL.replace("second fault 12%", "second fault 4%")
    .replace("unlisted 6%", "unlisted 15%")
    .replace("eased by rail 40%", "eased by rail 80%")
    .replace("rail_bent 50%", "rail_bent 80%")
  const ruleLine = guessed.split("\n").findIndex((line) => line.includes("rail_bent 80%")) + 1
  const { fit } = fitted(guessed, jobs(till(WHOLE_TILL).model, 501, 11), 1)
  const found = new Map(fit.changes.map(({ kind, name, to }) => [`${kind} ${name}`.trim(), Number(to)]))

  test.each([
    // Standard errors: of 501 cases; of some 150 jobs with a worn lock; of some 100 with a bent rail, of which 10 don't click.
    { what: "second", chance: 12, error: 1.45 },
    { what: "unlisted", chance: 6, error: 1.06 },
    { what: "eased lock_worn by rail", chance: 40, error: 5 },
    { what: `rule line ${ruleLine}`, chance: 50, error: 16 },
  ])("$what", ({ what, chance, error }) => {
    expect(found.get(what), [...found.keys()].join()).toBeGreaterThan(chance - 4 * error)
    expect(found.get(what)).toBeLessThan(chance + 4 * error)
  })

  test("jobs with two faults and with what is not listed are scored too, and it helps", () => {
    expect(fit.unused).toBe(0)
    expect(fit.validation).toMatchObject({ verdict: "helps" })
    expect(fit.validation!.cases).toBeGreaterThan(470)
  })

  test("numbers from a handful of jobs harm, and with the author's far above them they change nothing", () => {
    const few = jobs(till().model, 60, 3)
    expect(isHarmful(fitted(TILL, few, 0.001).fit)).toBe(true)
    expect(fitted(TILL, few, 1e6).fit.validation).toMatchObject({ verdict: "cannot be told" })
  })
})

test("intervals of counts hold their level: 95 of 100 have the true chance within", () => {
  const { model } = till()
  const guessed = till(GUESSED)
  const parameters = parametersOf(guessed.model, guessed.trees)
  let within = 0
  let all = 0
  for (let seed = 1; seed <= 20; seed++) {
    const { values, counts } = estimate(
      parameters,
      casesOf(unplanned(model), jobs(model, 100, seed * 7919)),
      1,
    )
    const total = model.faults.reduce((sum, { odds }) => sum + odds, 0)
    const truth = new Map([
      ...model.faults.map(({ name, odds }) => [`odds ${name}`, odds / total] as const),
      ["shows rail_bent on force", 0.85],
      ["shows plug_loose on click", 0.75],
    ])
    for (const { kind, name, seen } of numberChanges(parameters, values, counts)) {
      const chance = truth.get(`${kind} ${name}`)
      if (chance === undefined) continue
      all++
      if (seen.low <= chance && chance <= seen.high) within++
    }
  }
  // Some 120 intervals: the share within is 0.95 give or take four standard errors of 0.02.
  expect(all).toBeGreaterThan(100)
  expect(within / all).toBeGreaterThan(0.87)
  expect(within / all).toBeLessThanOrEqual(1)
})

describe("what is hard, and what is few", () => {
  const { model } = till()
  const many = (count: number, letter: string, record: object) =>
    Array.from({ length: count }, (_, i) => JSON.stringify({ id: `${letter}-${i + 1}`, ...record }))
  const wrong = many(20, "W", {
    steps: [
      { test: "pull", found: "3 N" },
      { test: "hear", found: "yes" },
    ],
    fault: "rail_bent",
  })
  const dead = many(30, "D", { steps: [{ test: "hear", found: "yes" }], fault: "board_dead" })

  test("rules and shows that cases contradict are listed and left alone", () => {
    const { fit, text } = fitted(TILL, [...dead, ...wrong], 1)
    expect(text).toContain("shows click is no\n")
    expect(fit.contradicted).toMatchObject([
      { cause: "shows", found: "`click` is yes", fault: "board_dead", of: 30 },
      { cause: "rule", because: "a bent rail drags", fault: "rail_bent" },
    ])
    expect(fit.validation).toBeUndefined()
    expect(renderFit(fit)).toMatchSnapshot()
  })

  test("no case changes nothing; few cases are said to be few", () => {
    const { fit, text } = fitted(TILL, [], 20)
    expect(text).toBe(TILL)
    expect(fit.few.map(({ fault }) => fault)).toEqual(model.faults.map(({ name }) => name))
    const some = fitted(TILL, jobs(model, 12, 3), 1e6)
    expect(some.text).toBe(TILL)
  })

  test("rounding keeps soft numbers soft and sums whole", () => {
    expect(percents([0.9999, 0.0001], [0.9, 0.1], true)).toEqual(["99.9"])
    expect(percents([0.33333, 0.33333, 0.33334], [0.3, 0.3, 0.4], false)).toEqual(["33.4", "33.3", "33.3"])
    expect(percents([0.7004, 0.2996, 0], [0.6, 0.4, 0], true)).toEqual(["70", "30"])
  })
})

describe("the chances that a fit scores are the runner's", () => {
  test.each([
    { name: "the till", text: TILL },
    { name: "the till with the words of the whole job", text: WHOLE_TILL },
  ])("$name", ({ text }) => {
    const { model, trees } = till(text)
    const graph = unplanned(model)
    const parameters = parametersOf(model, trees)
    const machine = machineFor(graphWith(parameters, written(parameters)), { withRules: true })
    const lines = jobs(model, 40, 9)
    let fitting = 0
    for (const [i, record] of casesOf(graph, lines).entries()) {
      const session = reopen(graph, JSON.parse(lines[i]!) as Recorded)
      const present = posterior(machine, record)?.present(model.faults.length)
      if (present) fitting++
      for (const { fault, present: chance } of session.candidates)
        if (fault !== undefined) expect(present?.[fault] ?? 0, record.id).toBeCloseTo(chance, 9)
    }
    expect(fitting).toBeGreaterThan(30)
  })
})
