import { readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { estimate } from "../../compiler/cases/fit/estimate.ts"
import { fitTo, unplanned } from "../../compiler/cases/fit/fit.ts"
import { Numbers, written } from "../../compiler/cases/fit/parameter-values.ts"
import { parametersOf } from "../../compiler/cases/fit/parameters.ts"
import { numberChanges, patched, percents } from "../../compiler/cases/fit/patch.ts"
import { maskedBy, masksOf, posterior } from "../../compiler/cases/fit/posterior.ts"
import { renderFit } from "../../compiler/cases/fit/render-text.ts"
import type { Case } from "../../compiler/cases/record/case.ts"
import { readCases } from "../../compiler/cases/record/read.ts"
import { analyse } from "../../compiler/compile.ts"
import type { Model } from "../../compiler/model/model.ts"
import { type Graph, open } from "../../compiler/run/index.ts"
import { jobs, TILL, till } from "./shop.ts"

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
  const lines = jobs(truth.model, 1500, 5)
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
    expect(fit.validation).toMatchObject({ verdict: "helps", cases: 1500 - fit.validation!.ruledOut })
    const again = fitted(text, lines, 1).fit
    // The numbers have seen all of these cases by now, those of the parts have not.
    expect(again.validation!.verdict).not.toBe("helps")
    for (const { from, to } of again.changes) expect(Math.abs(Number(from) - Number(to))).toBeLessThan(0.5)
  })
})

test("intervals of counts hold their level: 95 of 100 have the true chance within", () => {
  const { model } = till()
  const guessed = till(GUESSED)
  const parameters = parametersOf(guessed.model, guessed.trees)
  let within = 0
  let all = 0
  for (let seed = 1; seed <= 40; seed++) {
    const { values, counts } = estimate(
      parameters,
      casesOf(unplanned(model), jobs(model, 150, seed * 7919)),
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
  // Some 240 intervals: the share within is 0.95 give or take four standard errors of 0.014.
  expect(all).toBeGreaterThan(200)
  expect(within / all).toBeGreaterThan(0.89)
  expect(within / all).toBeLessThan(0.995)
})

describe("what is hard, and what is few", () => {
  const { model } = till()
  const wrong = JSON.stringify({
    id: "W-1",
    steps: [
      { test: "pull", found: "3 N" },
      { test: "hear", found: "yes" },
    ],
    fault: "rail_bent",
  })
  const dead = JSON.stringify({ id: "W-2", steps: [{ test: "hear", found: "yes" }], fault: "board_dead" })

  test("rules and shows that cases contradict are listed and left alone", () => {
    const { fit, text } = fitted(TILL, [...Array(30).fill(dead), ...Array(20).fill(wrong)], 1)
    expect(text).toContain("shows click is no\n")
    expect(fit.contradicted).toMatchObject([
      { cause: "shows", name: "click", fault: "board_dead", ids: ["W-2"], of: 30 },
      { cause: "rule", because: "a bent rail drags", fault: "rail_bent", ids: ["W-1"] },
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
  const flagship = join(import.meta.dirname, "../../rulesets/desktop-no-picture/desktop-no-picture")
  const read = (path: string) => {
    try {
      return readFileSync(path, "utf8")
    } catch {
      return undefined
    }
  }
  const shop = analyse(`${flagship}.ruleout`, read)
  test.each([
    { name: "the till", of: till(), lines: jobs(till().model, 60, 9) },
    {
      name: "the flagship",
      of: shop as typeof shop & { model: Model },
      lines: readFileSync(`${flagship}.cases.jsonl`, "utf8").split("\n").slice(0, 60),
    },
  ])("$name", ({ of: { model, trees }, lines }) => {
    const graph = unplanned(model)
    const parameters = parametersOf(model, trees)
    const numbers = new Numbers(parameters, written(parameters))
    let fitting = 0
    for (const record of casesOf(graph, lines)) {
      let session = open(graph)
      for (const { reading, cell } of record.told)
        session = session.find(graph.readings[reading]!.name, [cell])
      for (const { test, putBack, found } of record.steps) {
        const step = test === undefined ? undefined : graph.tests[test]!
        const part = test === undefined ? undefined : graph.model.tests[test]!.part
        if (typeof found === "string" && step)
          session = session.find(putBack ? graph.places[part!]!.name : step.name, found)
        else if (typeof found !== "string")
          for (const { reading, cell } of found) session = session.find(graph.readings[reading]!.name, [cell])
      }
      const chances = posterior(model, record, numbers, maskedBy(masksOf(model), model, record))
      if (chances) fitting++
      for (const { fault, chance } of session.candidates)
        expect(chances?.[fault] ?? 0, record.id).toBeCloseTo(chance, 9)
    }
    expect(fitting).toBeGreaterThan(40)
  })
})
