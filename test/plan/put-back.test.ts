import { existsSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { open, type Session } from "../../compiler/run/index.ts"

const path = join(import.meta.dirname, "../../rulesets/desktop-no-picture/desktop-no-picture.ruleout")
const read = (file: string) => (existsSync(file) ? readFileSync(file, "utf8") : undefined)
const { graph } = compile(path, read, { effort: 200 })

/** Who swaps a processor takes the cooler off and its plugs out: what cured is open until the old one is back. */
describe("a processor swap that cures, on the flagship", () => {
  const chance = (job: Session, place: string) =>
    job.candidates
      .filter((each) => graph!.places[each.place]!.name === place)
      .reduce((sum, each) => sum + each.chance, 0)
  const cured = open(graph).find("look_lights", { debug_light: "processor" }).find("try_processor", "gone")

  test("is not believed", () => {
    expect(chance(cured, "processor")).toBeGreaterThan(0)
    expect(chance(cured, "processor")).toBeLessThan(graph!.trust)
    expect(cured.next).not.toMatchObject({ do: "verdict", remedy: { kind: "replace" } })
    expect(cured.steps.map((step) => step.putBack)).toContain("processor")
  })

  test("is believed when the complaint comes back with the old part", () => {
    const back = cured.find("processor", "stays")
    expect(chance(back, "processor")).toBeGreaterThan(chance(cured, "processor"))
    expect(chance(back, "processor")).toBeGreaterThan(graph!.trust)
    expect(back.next).toMatchObject({ do: "verdict", remedy: { kind: "replace" }, label: "processor" })
  })

  test("was something else when it stays away: a seat or a mounting that was redone on the way", () => {
    const still = cured.find("processor", "gone")
    expect(chance(still, "processor")).toBeLessThan(0.05)
    expect(still.candidates[0]!.cured).toBeGreaterThan(0)
  })
})
