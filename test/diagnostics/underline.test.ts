import { expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { renderText } from "../../compiler/diagnostics/render.ts"
import { underlined } from "../../compiler/diagnostics/underline.ts"
import { LAMP } from "../browser/support/lamp.ts"

const marked = (text: string, end = text.length) => {
  const span = underlined(text, { file: "a", start: 0, end })
  return text.slice(span.start, span.end)
}

test("of a declaration its keyword and name are underlined, of anything else its first line", () => {
  expect(marked('fault head_dead "head failed" in head\n  shows glow is no')).toBe("fault head_dead")
  expect(marked("rule dead_rail: when rail below 1 V\n  rule out head_dead")).toBe("rule dead_rail")
  expect(marked('reading hum "Does it hum?" yes or no')).toBe("reading hum")
  expect(marked("when rail below 1 V  \r\n  rule out head_dead")).toBe("when rail below 1 V")
  expect(marked("rail below 1 V\nand hum is no")).toBe("rail below 1 V")
  expect(marked("rail below 1 V and", 14)).toBe("rail below 1 V")
  expect(marked("part", 4)).toBe("part")
  expect(marked("")).toBe("")
})

test("a finding about a whole declaration keeps its exact span, and one line of carets", () => {
  const text = `${LAMP}reading spare_hum "Does it hum?"\n  yes or no\n  normally is yes 90%\n`
  const { diagnostics } = compile("lamp.ruleout", () => text)
  const found = diagnostics.find(({ code }) => code === "silent-reading")!
  expect(text.slice(found.span.start, found.span.end)).toContain("normally is yes 90%")
  const lines = renderText([found], new Map([["lamp.ruleout", text]])).split("\n")
  expect(lines[2]).toMatch(/ \| reading spare_hum "Does it hum\?"$/)
  expect(lines[3]).toBe(`${" ".repeat(lines[2]!.indexOf("|"))}| ${"^".repeat("reading spare_hum".length)}`)
})
