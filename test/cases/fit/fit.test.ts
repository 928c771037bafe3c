import { describe, expect, test } from "vitest"
import { DistinctCases } from "../../../compiler/cases/fit/distinct-cases.ts"
import { fitTo, graphWithoutPlan, isHarmful } from "../../../compiler/cases/fit/fit.ts"
import { machineFor } from "../../../compiler/cases/fit/job-history.ts"
import { graphWith, written } from "../../../compiler/cases/fit/parameter-values.ts"
import { parametersOf } from "../../../compiler/cases/fit/parameters.ts"
import { patched, percents } from "../../../compiler/cases/fit/patch.ts"
import { posterior } from "../../../compiler/cases/fit/posterior.ts"
import { renderFit } from "../../../compiler/cases/fit/render-text.ts"
import type { Case } from "../../../compiler/cases/record/case.ts"
import { readCases } from "../../../compiler/cases/record/read.ts"
import { analyse } from "../../../compiler/compile.ts"
import { type Graph, type Recorded, reopen } from "../../../compiler/run/index.ts"
import { boundsOf, coverage } from "../../support/coverage.ts"
import { GUESSED_TILL, GUESSED_WHOLE_TILL, jobs, TILL, till, WHOLE_TILL } from "../till.ts"

function casesOf(graph: Graph, lines: readonly string[]): Case[] {
  return [...readCases(lines.join("\n"), graph)].flatMap(({ case: record }) => record ?? [])
}

const fitted = (text: string, lines: readonly string[], weight: number) => {
  const { model, trees, sources } = till(text)
  const fit = fitTo(model, trees, casesOf(graphWithoutPlan(model), lines), { weight })
  return { fit, text: patched(fit.changes, sources).get("till.ruleout") ?? text }
}

describe("numbers are learnt", () => {
  const truth = till()
  const lines = jobs(truth.model, 500, 5)
  const { fit, text } = fitted(GUESSED_TILL, lines, 1)

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
    expect(blank(text)).toBe(blank(GUESSED_TILL))
    expect(text).toContain("  shows click is no\n")
    expect(text).not.toBe(GUESSED_TILL)
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
  const guessed = GUESSED_WHOLE_TILL
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

test("intervals hold their level: 95 of 100 have the true chance within, of each number, seen or hidden", () => {
  const { covered, all, of } = coverage(till(), till(GUESSED_TILL), { repetitions: 50, jobs: 100 })
  // Some 750 intervals: the share within is 0.95 give or take four standard errors of 0.008.
  expect(all).toBeGreaterThan(700)
  expect(Math.abs(covered / all - 0.95)).toBeLessThan(0.032)
  expect(of.size).toBe(15)
  for (const [name, each] of of)
    expect(each.covered, `${name} of ${each.all}`).toBeGreaterThanOrEqual(boundsOf(each.all).least)
})

describe("what cases can't tell", () => {
  test("an owner who errs and a fault that shows it seldom look alike: said so, and known only together", () => {
    const soft = TILL.replace("  shows moved is no\n", "")
    const { fit } = fitted(soft, jobs(till(soft).model, 1000, 8), 20)
    expect(fit.ties.map((tie) => tie.map(({ kind, name }) => `${kind} ${name}`).sort())).toEqual([
      ["shows plug_loose on moved", "trust moved"],
    ])
    expect(renderFit(fit)).toContain(
      "how `plug_loose` shows on `moved` and trust in the answer to `moved`: these cases tell only what they come to together",
    )
    for (const { kind, name, seen } of fit.changes)
      if (kind === "trust" || name === "plug_loose on moved")
        expect(seen.high - seen.low).toBeGreaterThan(0.5)
    // What a fault always shows tells them apart.
    expect(fitted(TILL, jobs(till().model, 1000, 8), 20).fit.ties).toEqual([])
  })

  test("nothing is learnt from a fault that nothing confirmed but the end of the plan, unless that is asked for", () => {
    const { model, trees } = till(GUESSED_TILL)
    const lines = jobs(model, 60, 4)
    const bare = lines.map((line) => line.replace(',"confirmed":"soak"', ""))
    const read = (all: readonly string[]) => casesOf(graphWithoutPlan(model), all)
    const none = fitTo(model, trees, read(bare), { weight: 20 })
    expect(none).toMatchObject({ cases: 60, unused: 0, unconfirmed: 60, changes: [] })
    expect(renderFit(none)).toContain("60 cases with a fault, but without `confirmed`: not used.")
    const all = fitTo(model, trees, read(lines), { weight: 20 })
    expect(fitTo(model, trees, read(bare), { weight: 20, unconfirmed: true })).toEqual(all)
    // Others beside them don't change what is learnt.
    expect(
      fitTo(model, trees, read([...lines, ...bare.map((line) => line.replace("J-", "B-"))]), { weight: 20 })
        .changes,
    ).toEqual(all.changes)
  })
})

test("many cases are counted by what differs, and an evenly spaced part of them is kept in order", () => {
  const { model } = till(WHOLE_TILL)
  const records = casesOf(graphWithoutPlan(model), jobs(model, 300, 2))
  const distinct = new DistinctCases()
  for (let round = 0; round < 40; round++) for (const record of records) distinct.add(record)
  expect(distinct.cases).toBe(12_000)
  expect(distinct.size).toBeLessThan(200)
  expect(distinct.times.reduce((sum, n) => sum + n, 0)).toBe(12_000)
  expect(distinct.isWholeSample).toBe(false)
  const contents = distinct.sample.map((at) => distinct.content(at))
  expect(contents.length).toBe(1500)
  for (const [i, { told, steps, confirmed }] of contents.entries()) {
    const record = records[(8 * i) % records.length]!
    const kind = confirmed.kind === "unlisted" ? { kind: "unlisted" } : confirmed
    const without = record.steps.map(({ minutes: _, ...step }) => step)
    expect([told, steps]).toEqual([record.told, without])
    expect(record.confirmed).toMatchObject(kind)
  }
})

describe("what is hard, and what is few", () => {
  const { model } = till()
  const many = (count: number, letter: string, record: object) =>
    Array.from({ length: count }, (_, i) =>
      JSON.stringify({ id: `${letter}-${i + 1}`, confirmed: "soak", ...record }),
    )
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
    const graph = graphWithoutPlan(model)
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
