import { existsSync, readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { Ajv2020 } from "ajv/dist/2020.js"
import { describe, expect, it } from "vitest"
import { play } from "../compiler/cases/scenarios/play.ts"
import { check } from "../compiler/check/check.ts"
import { analyse, compile } from "../compiler/compile.ts"
import { graphSchema } from "../compiler/graph/schema.ts"
import type { Model } from "../compiler/model/model.ts"
import { open } from "../compiler/run/index.ts"
import type { TestIndex } from "../compiler/run/indexes.ts"
import { picturesOf } from "../compiler/ship/pictures.ts"
import { casesOf, draw, drawn, handWritten } from "../rulesets/generate-cases.ts"
import { fileOf, readPicture, readText } from "../rulesets/read-model.ts"
import { shelved } from "./support/shelf.ts"

const root = join(import.meta.dirname, "../rulesets")
const isGraph = new Ajv2020({ strict: true, strictTuples: false }).compile(graphSchema)
const folders = Object.keys(drawn)

function modelOf(folder: string): Model {
  const { model } = analyse(fileOf(folder), readText, { readPicture })
  if (!model) throw new Error(`${folder} has no model`)
  return model
}

/**
 * What makes a case hard, each by itself: two faults, a fault that comes and goes or is not listed, a machine that came back, a seat
 * that a swap cured on its way, and findings that speak against the fault (of its cells, one four times less likely than the likeliest).
 */
function whyHard({ faults, readings }: Model, line: string): string[] {
  const record = JSON.parse(line)
  const { came_back, told, steps } = record
  const names: string[] = record.faults ?? [record.fault]
  const present = names.map((name) => faults.find((each) => each.name === name))
  if (present.includes(undefined)) return ["not listed"]
  const found = Object.assign({}, told, ...steps.map((step: { found: unknown }) => Object(step.found)))
  const against = readings.filter(({ name, grid, cells }, r) => {
    const spoken = present.flatMap((fault) => fault!.chances[r] ?? [])
    if (spoken.length === 0 || !(name in found)) return false
    const at = grid && Math.round((Number.parseFloat(found[name]) - grid.from) / grid.by)
    const cell = cells.findIndex(({ value, first, last }) =>
      at === undefined ? value === found[name] : at >= first! && at <= last!,
    )
    return spoken.every((chances) => chances[cell]! < Math.max(...chances) / 4)
  })
  return [
    ...(names.length > 1 ? ["two faults"] : []),
    ...(present.some((fault) => fault!.recurs < 1) ? ["comes and goes"] : []),
    ...(came_back ? ["came back"] : []),
    ...(steps.some((step: { putBack?: string; found: unknown }) => step.putBack && step.found === "gone")
      ? ["a seat on the way"]
      : []),
    ...against.map(({ name }) => `\`${name}\` against it`),
  ]
}

describe.each(folders)("%s", (folder) => {
  const { diagnostics } = analyse(fileOf(folder), readText, { readPicture })
  const model = modelOf(folder)

  it("has nothing that the compiler complains of", () => {
    expect([...diagnostics, ...check(model)].map(({ code, message }) => `${code}: ${message}`)).toEqual([])
  })

  // With a tenth of the usual effort: the plan need not be the best one to show what is wrong with it. A test that it never
  // uses is nothing wrong: it stays a way on when a tool is missing; nor is what a hurried plan doesn't tell apart.
  const planned = () => shelved(folder, { effort: 1000 })
  it("has nothing that its plan shows, either", { timeout: 600_000 }, () => {
    const { plan, diagnostics } = planned()
    expect(plan).toBeDefined()
    const wrong = diagnostics.filter(({ code }) => code !== "beaten-test" && code !== "confounded")
    expect(wrong.map(({ code, message }) => `${code}: ${message}`)).toEqual([])
  })

  it("has a graph that keeps to the schema", { timeout: 600_000 }, () => {
    expect(isGraph(planned().graph), JSON.stringify(isGraph.errors)).toBe(true)
  })

  it("has rules that hardly ever strike what is really there", { timeout: 600_000 }, () => {
    const { struck, forbidden } = planned().plan!.expected
    expect(struck + forbidden).toBeLessThanOrEqual(0.005)
  })

  it("gets ten scenarios or more right", { timeout: 600_000 }, () => {
    const { graph, scenarios } = planned()
    expect(scenarios.length).toBeGreaterThanOrEqual(10)
    const start = open(graph!)
    const failures = scenarios.flatMap((scenario) =>
      play(start, scenario).failures.map(({ message }) => `${scenario.text}: ${message}`),
    )
    expect(failures).toEqual([])
  })

  it("uses shared files as they are on the shelf", () => {
    const shared = join(root, folder, "shared")
    for (const file of existsSync(shared) ? readdirSync(shared) : [])
      expect(readText(join(shared, file)), file).toBe(readText(join(root, "shared", file)))
  })

  it("keeps the drawn cases as its seed draws them, above ten or more by hand", () => {
    const lines = readFileSync(casesOf(folder), "utf8").trimEnd().split("\n")
    const byHand = handWritten(folder)
    expect(byHand.length).toBeGreaterThanOrEqual(10)
    const { lines: expected } = draw(folder)
    expect(lines).toEqual([...byHand, ...expected])
    expect(expected.length).toBeGreaterThanOrEqual(60)
  })

  it("has ten hard cases or more", () => {
    const lines = readFileSync(casesOf(folder), "utf8").trimEnd().split("\n")
    expect(lines.filter((line) => whyHard(model, line).length > 0).length).toBeGreaterThanOrEqual(10)
  })

  it("says plug out, or warns of what is live, wherever the machine is opened", () => {
    for (const test of model.tests)
      if (test.power !== undefined) expect(test.cautions, test.name).not.toEqual([])
  })

  it("warns before every change where a battery, mains, heat, high voltage or a laser can hurt", () => {
    for (const { name, kind, instruction, parts, redoes, cautions } of model.tests) {
      if (kind === "reads" || kind === "told") continue
      const places = [...parts, ...redoes.map(({ setup }) => setup)]
      const words = [instruction, ...places.map((place) => model.places[place]!.label)].join()
      if (/batter|mains|fixing|laser unit|high-voltage/.test(words)) expect(cautions, name).not.toEqual([])
    }
  })

  // A fault in a setup is fixed as a test redoes it, and the card of that repair shows the fault's remedy, not the test's cautions.
  it("warns at a repair where it warns at the test that does the same", () => {
    for (const { name, place, remedy } of model.faults) {
      const warned = model.tests.some(
        ({ redoes, cautions }) => cautions.length > 0 && redoes.some(({ setup }) => setup === place),
      )
      if (warned) expect(remedy, name).toBeTruthy()
    }
  })

  it("says of every elimination why", () => {
    for (const rule of model.rules) expect(rule.because, rule.name).toBeTruthy()
  })
})

it("the laptop shows at its first look what a case looks like that rocks", () => {
  const { graph } = shelved("laptop-no-charge", { effort: 1000 })
  const test = graph!.tests.findIndex(({ name }) => name === "look_case") as TestIndex
  const [shown, ...others] = picturesOf(graph!, { do: "test", test })
  expect(others).toEqual([])
  expect(shown).toMatchObject({ picture: { type: "image/svg+xml", width: 320, height: 150 } })
  expect(shown!.text).toContain("a case that lies flat")
})

it("the kiosk of the tour has nothing to be mended", () => {
  const { diagnostics } = compile(fileOf("ticket-kiosk"), readText)
  expect(diagnostics.map(({ code, message }) => `${code}: ${message}`)).toEqual([])
}, 120_000)

describe("the flagship", () => {
  const model = modelOf("desktop-no-picture")
  const test = (name: string) => model.tests.find((each) => each.name === name)!
  const cautions = (name: string) => test(name).cautions.join(" ")

  it("is as large as it was promised to be", () => {
    expect(model.faults.length).toBeGreaterThanOrEqual(55)
    expect(model.readings.length).toBeGreaterThanOrEqual(35)
    expect(model.tests.filter((each) => each.kind !== "told").length).toBeGreaterThanOrEqual(55)
    expect(draw("desktop-no-picture").lines.length).toBeGreaterThanOrEqual(150)
    expect(handWritten("desktop-no-picture").length).toBeGreaterThanOrEqual(30)
  })

  // Common practice, no source.
  it("bridges the clear-settings pins for 10 to 20 s with power fully off", () => {
    expect(test("clear_settings").instruction).toContain("10 to 20 s")
    expect(cautions("clear_settings")).toContain("Power fully off")
  })
  it("takes 80 degC at rest for a cooling fault, and the low fifties for none", () => {
    const heat = model.readings.findIndex((each) => each.name === "idle_heat")
    const cellAt = (value: number) =>
      model.readings[heat]!.cells.findIndex(({ first, last }) => value - 10 >= first! && value - 10 <= last!)
    const cooling = ["pump_dead", "pump_unplugged", "paste_gone"]
    for (const fault of model.faults) {
      const own = fault.chances[heat] ?? model.readings[heat]!.healthy
      const isCooling = cooling.includes(fault.name)
      expect(own[cellAt(80)]! > 0.5, fault.name).toBe(isCooling)
      expect(own[cellAt(52)]! > 0.5, fault.name).toBe(!isCooling)
    }
  })
  it("tightens a cooler crosswise, a quarter turn a time, and never runs a processor bare", () => {
    for (const name of ["remount_cooler", "try_cooler"]) {
      expect(test(name).instruction).toContain("crosswise, a quarter turn a time")
      expect(cautions(name)).toContain("a processor alone runs only for seconds")
    }
  })
  it("never interrupts a firmware write, nor begins one in a thunderstorm", () => {
    expect(cautions("write_firmware")).toContain("Never interrupt")
    expect(cautions("write_firmware")).toContain("thunderstorm")
  })
  it("starts cold again and again, and tilts the machine while on, before any handing back", () => {
    const always = model.proofs.filter((each) => each.places.length === 0)
    expect(always.some(({ text, times }) => text.includes("from cold") && times >= 5)).toBe(true)
    expect(always.some(({ text }) => text.includes("tilt"))).toBe(true)
  })
})
