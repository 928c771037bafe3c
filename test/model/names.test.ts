import { expect, test } from "vitest"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import { bind } from "../../compiler/model/bind.ts"
import { parse } from "../../compiler/syntax/parser/parse.ts"

const FRAME = `ruleset pump_hums "Pump: hums" bench 60 per hour
setup back_panel "back panel"
part motor "motor" spare behind back_panel
complaint stuck "it does not turn"
fault winding_open "winding open" in motor odds 1
test try_motor "Fit the known-good motor" swaps motor takes 10 min
`

function said(text: string): readonly Diagnostic[] {
  const { tree, diagnostics } = parse("pump.ruleout", text)
  return [...diagnostics, ...bind([tree], new Map([["pump.ruleout", text]])).diagnostics]
}

function withEdit(text: string, { edits }: Diagnostic, title: string): string {
  const changes = edits.find((edit) => edit.title === title)!.changes
  return changes
    .toSorted((a, b) => b.span.start - a.span.start)
    .reduce((now, { span, text }) => now.slice(0, span.start) + text + now.slice(span.end), text)
}

test("the frame is clean", () => {
  expect(said(FRAME)).toEqual([])
})

test("a name that nothing declares is one finding, and its edit mends all places", () => {
  const text = FRAME.replaceAll("motor takes", "motro takes").replace("in motor", "in motro")
  const [finding, ...others] = said(text)
  expect(others).toEqual([])
  expect(finding).toMatchObject({ code: "unknown-name", span: { start: text.indexOf("motro") } })
  expect(finding!.labels.map(({ text }) => text)).toEqual(["`motor` is declared here", "and here"])
  expect(withEdit(text, finding!, "Write `motor` in all 2 places")).toBe(FRAME)
})

test("beyond a hundred mistakes names are still known, and beyond a hundred unknown names they are counted", () => {
  const many = Array.from({ length: 300 }, (_, i) => i)
  const uses = many.map((i) => `test meter_${i} "Meter" reads volts_${i} takes 1 min\n`).join("")
  const readings = many.map((i) => `reading volts_${i} "Volts" in V form 0 to 5\n`).join("")
  const broken = said(FRAME + uses + readings)
  expect(broken.map(({ code }) => code)).toEqual([
    ...Array.from({ length: 100 }, () => "misspelt"),
    "too-many-findings",
  ])
  const unknown = said(FRAME + uses)
  expect(unknown).toHaveLength(101)
  expect(unknown.at(-1)!.message).toBe("200 more names are not declared.")
})

test.each([
  ["of which the name cannot be read", "part motor", "part"],
  ["that begins with no word of the language", "part motor", "gizmo motor"],
  ["that is broken behind its name", 'motor "motor"', 'motor "motor" 70'],
])("no use is unknown of a declaration %s", (_, from, to) => {
  const diagnostics = said(FRAME.replace(from, to))
  expect(diagnostics).toHaveLength(1)
  expect(diagnostics[0]!.code).not.toBe("unknown-name")
})

test("two words that are one declared name are said once; with a comma they are two names", () => {
  const text = FRAME.replace("behind back_panel", "behind back panel")
  const [finding, ...others] = said(text)
  expect(others).toEqual([])
  expect(withEdit(text, finding!, "Write `back_panel`")).toBe(FRAME)
  expect(said(FRAME.replace("behind back_panel", "behind back,panel")).map(({ code }) => code)).toEqual([
    "unknown-name",
    "unknown-name",
  ])
})

test.each([
  ["10 min", "10 minutes", "min"],
  ["10 min", "10 hrs", "h"],
])("a unit in words is known: %s as %s", (from, to, symbol) => {
  const text = FRAME.replace(from, to)
  const [finding] = said(text)
  expect(finding!.code).toBe("unknown-unit")
  expect(withEdit(text, finding!, `Write \`${symbol}\``)).toBe(FRAME.replace(from, `10 ${symbol}`))
})

test.each([
  [
    "in degC from 0 to 90 by 1",
    "25 deg",
    "`25 deg` is an angle; a temperature is needed.",
    "Did you mean `degC`?",
    "degC",
  ],
  [
    "in degC from 0 to 90 by 1",
    "25 F",
    "`25 F` is a capacitance; a temperature is needed.",
    "Did you mean `degF`?",
    "degF",
  ],
  [
    "in barg from 0 to 9 by 0.1",
    "3 bar",
    "`3 bar` is a pressure; a gauge pressure is needed.",
    /^`barg`, `kPag` and `psig` count from the pressure of the air, /,
    undefined,
  ],
  [
    "in W from 0 to 9 by 0.1",
    "3 dBm",
    "`3 dBm` is a power level; a power is needed.",
    /^`dBm` is logarithmic: 0 dBm is 1 mW, /,
    undefined,
  ],
] as const)("%s and %s: the mix-up is named", (type, value, message, help, edit) => {
  const [finding] = said(
    `${FRAME}reading probe "Probe" ${type}\nwhen probe above ${value} rule out winding_open\n`,
  )
  expect(finding).toMatchObject({ code: "unit-mismatch", message })
  expect(finding!.help).toMatch(help)
  expect(finding!.edits.map(({ changes }) => changes[0]!.text)).toEqual(edit === undefined ? [] : [edit])
})

test("a count needs no unit, and is labelled without one", () => {
  const text = `${FRAME}reading blinks "Blinks" in count from 0 to 9 by 1\nwhen blinks at least 3 rule out winding_open\n`
  expect(said(text).filter(({ severity }) => severity === "error")).toEqual([])
  const { model } = bind([parse("pump.ruleout", text).tree], new Map([["pump.ruleout", text]]))
  expect(model?.readings[0]?.cells.map(({ label }) => label)).toEqual(["below 3", "from 3"])
})

test("a unit that is none of ours is no slip for another", () => {
  const [finding] = said(`${FRAME}reading pressure "Pressure" in mph from 0 to 100\n`)
  expect(finding).toMatchObject({ code: "unknown-unit", edits: [], help: "Give it in `km/h`." })
})
