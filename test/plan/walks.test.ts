import { existsSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { analyse, compile } from "../../compiler/compile.ts"
import { type Found, open, type Session } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { seeded } from "../support/models.ts"
import { belief, replay, start } from "../support/reference.ts"
import { simulate } from "../support/simulate.ts"

describe("the link ruleset, where the known-good lead cures", () => {
  const path = join(import.meta.dirname, "../../rulesets/link-down-slow/link-down-slow.ruleout")
  const model = analyse(path, (file) => (existsSync(file) ? readFileSync(file, "utf8") : undefined)).model!
  const fault = (name: string) => model.faults.findIndex((each) => each.name === name)
  const [lead, plug] = [fault("desk_lead_broken"), fault("desk_plug_loose")]
  const present = (job: Session, of: number) => job.candidates.find((each) => each.fault === of)!.present

  // The lamp is off, a known-good lead brings the link back, and its latch holds: of the new lead, not of the old one.
  const fitted = open(graphOf(model))
    .find({ test: "look_lamp" }, "off")
    .find({ test: "try_desk_lead" }, "gone")
  const tugged = fitted.find({ test: "tug_plugs" }, "yes")

  test("plug and lead stay undecided, and a latch that holds on the new lead says little of the old plug", () => {
    for (const job of [fitted, tugged]) {
      expect(present(job, plug)).toBeGreaterThan(0.1)
      expect(present(job, lead)).toBeGreaterThan(0.1)
    }
    // Both were cured or taken out by the swap, so both read the latch as a healthy plug does.
    const ratio = (job: Session) => present(job, plug) / present(job, lead)
    expect(ratio(tugged)).toBeCloseTo(ratio(fitted), 1)
  })

  test("the old lead, put back, decides", () => {
    const gone = tugged.find({ putBack: "patch_desk" }, "gone")
    const stays = tugged.find({ putBack: "patch_desk" }, "stays")
    expect(present(gone, plug)).toBeGreaterThan(3 * present(gone, lead))
    expect(present(stays, lead)).toBeGreaterThan(3 * present(stays, plug))
    expect(present(stays, lead)).toBeGreaterThan(0.9)
  })

  test("all along as the reference has it", () => {
    const index = (name: string) => model.tests.findIndex((each) => each.name === name)
    const cell = (reading: string, label: string) =>
      model.readings.find(({ name }) => name === reading)!.cells.findIndex((each) => each.label === label)
    const state = replay(model, start(model), [
      { action: { do: "test", test: index("look_lamp") }, on: [cell("lamp", "off")] },
      { action: { do: "test", test: index("try_desk_lead") }, on: "gone" },
      { action: { do: "test", test: index("tug_plugs") }, on: [cell("latch", "yes")] },
    ])!
    const expected = belief(model, state).present
    for (const each of [lead, plug]) expect(present(tugged, each)).toBeCloseTo(expected[each]!, 9)
  })
})

describe("a fault dictionary of eight faults and twelve certain tests", () => {
  // Row by fault, column by test: what the test shows while that fault is in the machine.
  const rows = [
    "110100010100",
    "101100100010",
    "011010001001",
    "100011010001",
    "010101100110",
    "001110011100",
    "111001000011",
    "000111101010",
  ]
  const signs = Array.from({ length: 12 }, (_, i) => `sign${i}`)
  const text = [
    `ruleset dictionary "Eight faults, twelve certain tests" comeback costs 300 handover costs 900`,
    `complaint dead "it does nothing"`,
    ...rows.map((_, f) => `part part${f} "part ${f}" price 200`),
    ...rows.map((row, f) =>
      [
        `fault fault${f} "fault ${f}" in part${f} odds ${f + 1}`,
        ...signs.map((sign, i) => `  shows ${sign} is ${row[i] === "1" ? "yes" : "no"}`),
      ].join("\n"),
    ),
    ...signs.map((sign) => `reading ${sign} "Does ${sign} show?" yes or no`),
    ...signs.map((sign, i) => `test look${i} "Look for ${sign}" reads ${sign} takes 2 min`),
  ].join("\n")
  const { model, graph, diagnostics } = compile("dictionary.ruleout", () => text, { effort: 2000 })

  test("compiles without an error or a contradiction", () => {
    expect(diagnostics.filter(({ severity }) => severity === "error")).toEqual([])
    expect(diagnostics.map(({ code }) => code)).not.toContain("contradiction")
    expect(graph).toBeDefined()
  })

  test.each(rows.map((row, f) => [f, row]))("fault %i is found by its row and replaced", (f, row) => {
    let job = open(graph)
    for (let i = 0; i < 10 && job.next.do !== "end"; i++) {
      const { next } = job
      if (next.do === "test") {
        const cell = row[model!.tests[next.test]!.reads[0]!] === "1" ? "yes" : "no"
        job = job.answer(cell)
      } else if (next.do === "replace") {
        expect(next.part).toBe(f)
        const found: Found = "gone"
        job = job.answer(found)
      } else {
        expect(next.do).toBe("close")
        job = job.answer("holds")
      }
    }
    expect(job.next).toMatchObject({ do: "end", closed: true })
    expect(job.candidates[0]).toMatchObject({ fault: f, present: 1 })
  })

  test("is played without a part in vain, and nobody comes back", () => {
    const { figures } = simulate(model!, graph!, seeded(1), 400)
    expect(figures.wasted.mean).toBe(0)
    expect(figures.comesBack.mean).toBe(0)
    expect(figures.parts.mean).toBe(200)
  })
})
