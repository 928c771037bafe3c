import { existsSync, readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, it } from "vitest"
import { check } from "../../compiler/check/check.ts"
import { analyse } from "../../compiler/compile.ts"
import type { Model } from "../../compiler/model/model.ts"
import { casesOf, draw, drawn, handWritten } from "../../rulesets/generate-cases.ts"

const root = join(import.meta.dirname, "../../rulesets")
const folders = Object.keys(drawn)
const read = (path: string) => (existsSync(path) ? readFileSync(path, "utf8") : undefined)
const fileOf = (folder: string) => join(root, folder, `${folder}.ruleout`)

function modelOf(folder: string): Model {
  const { model } = analyse(fileOf(folder), read)
  if (!model) throw new Error(`${folder} has no model`)
  return model
}

describe.each(folders)("%s", (folder) => {
  const { findings } = analyse(fileOf(folder), read)
  const model = modelOf(folder)

  it("has nothing that the compiler complains of", () => {
    expect([...findings, ...check(model)].map(({ code, message }) => `${code}: ${message}`)).toEqual([])
  })

  it("uses shared files as they are on the shelf", () => {
    const shared = join(root, folder, "shared")
    for (const file of existsSync(shared) ? readdirSync(shared) : [])
      expect(read(join(shared, file)), file).toBe(read(join(root, "shared", file)))
  })

  it("keeps the drawn cases as its seed draws them, above ten or more by hand", () => {
    const lines = readFileSync(casesOf(folder), "utf8").trimEnd().split("\n")
    const byHand = handWritten(folder)
    expect(byHand.length).toBeGreaterThanOrEqual(10)
    expect(lines).toEqual([...byHand, ...draw(folder).lines])
    expect(lines.length).toBeGreaterThanOrEqual(40)
  })

  it("says plug out, or warns of what is live, wherever the machine is opened", () => {
    for (const test of model.tests)
      if (test.power !== undefined) expect(test.cautions, test.name).not.toEqual([])
  })

  it("says of every elimination why", () => {
    for (const rule of model.rules) expect(rule.because, rule.name).toBeTruthy()
  })
})

describe("the flagship", () => {
  const model = modelOf("desktop-no-picture")
  const test = (name: string) => model.tests.find((each) => each.name === name)!
  const cautions = (name: string) => test(name).cautions.join(" ")

  it("is as large as it was promised to be", () => {
    expect(model.faults.length).toBeGreaterThanOrEqual(35)
    expect(model.readings.length).toBeGreaterThanOrEqual(25)
    expect(model.tests.filter((each) => each.kind !== "told").length).toBeGreaterThanOrEqual(30)
    expect(model.rules.length).toBeGreaterThanOrEqual(40)
    expect(
      readFileSync(casesOf("desktop-no-picture"), "utf8").trimEnd().split("\n").length,
    ).toBeGreaterThanOrEqual(100)
    expect(handWritten("desktop-no-picture").length).toBeGreaterThanOrEqual(20)
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
