import { expect, test } from "vitest"
import { openFolder, ruleout, said, takeTime } from "../run.ts"

const { put, read } = openFolder()
takeTime()

const GERMAN = `texts de
  says seat_or_board "Lamp driver: dead" as "Lampentreiber: tot"
  says try_board "Fit the known-good board" as "Geprüfte Platine einbauen"
`

test("texts of a file of their own come into the graph, and are shown where they are asked for", async () => {
  put("seat.de.ruleout", GERMAN)
  const compiled = await said([
    "compile",
    "seat.ruleout",
    "--texts",
    "seat.de.ruleout",
    "-o",
    "de.graph.json",
  ])
  expect(compiled).toMatchObject({ exit: 0, out: expect.stringContaining("Written to de.graph.json") })
  expect(compiled.err).toMatch(/warning: `de` is missing \d+ of \d+ texts\./)

  const german = await said([
    "ship",
    "de.graph.json",
    "--language",
    "de-AT",
    "--to",
    "markdown",
    "--out",
    "-",
  ])
  expect(german.out).toContain("Geprüfte Platine einbauen")
  expect((await said(["ship", "de.graph.json", "--to", "markdown", "--out", "-"])).out).not.toContain(
    "Platine",
  )
  expect(ruleout(["sheet", "job", "de.graph.json", "--language", "de"]).out).toContain(
    "Arbeitskarte: Lampentreiber: tot",
  )
  const bench = ruleout(["bench", "de.graph.json", "--language", "de"], "hilfe\nende\n")
  expect(bench).toMatchObject({ exit: 0, out: expect.stringContaining("Geprüfte Platine einbauen") })
  expect(bench.out).toContain("Angehalten; noch ist nichts gefunden.")
  expect(ruleout(["sheet", "job", "de.graph.json", "--language", "fr"])).toMatchObject({
    exit: 2,
    err: expect.stringContaining("The graph isn't in `fr`."),
  })
})

test("the fix writes an entry for each text, and nothing else is written", async () => {
  put("begun.ruleout", "texts sv\n")
  const ruleset = read("seat.ruleout")
  const fixed = await said(["check", "seat.ruleout", "--texts", "begun.ruleout", "--fix"])
  expect(fixed.out).toContain("begun.ruleout: Write a line for each text that has none.")
  expect(read("begun.ruleout")).toContain('\n  says try_board "Fit the known-good board" as ""\n')
  expect(read("seat.ruleout")).toBe(ruleset)
  const formatted = await said(["format", "--check", "begun.ruleout"])
  expect(formatted.exit).toBeLessThan(2)
})

test("a file that isn't there is said", async () => {
  expect(await said(["check", "seat.ruleout", "--texts", "none.ruleout"])).toMatchObject({
    exit: 2,
    out: expect.stringContaining("`none.ruleout` isn't there."),
  })
})
