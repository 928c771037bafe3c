import { expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"

const words = (n: number, prefix: string) => Array.from({ length: n }, (_, i) => `${prefix}${i}`)

function ruleset(readings: number, values: number): string {
  const named = words(readings, "r")
  return `ruleset wide "Wide"
    part p "part" price 1
    complaint c "it fails"
    fault f "fault" in p odds 1
    ${named.map((r) => `reading ${r} "?" one of ${words(values, "v").join(", ")}`).join("\n")}
    test look "Look at all of it" reads ${named.join(", ")} takes 1 min
    when ${named.map((r) => `${r} is v0`).join(" and ")} rule out f
    proof "Start it" times 2`
}

test("a test with more outcomes than anybody could tell apart is an error at the test, not a crash", () => {
  const { diagnostics, plan } = compile("wide.ruleout", () => ruleset(13, 2))
  const said = diagnostics.find(({ code }) => code === "too-many-outcomes")
  expect(said?.message).toBe("`look` can come out in 8,192 ways; a test may have 4,096.")
  expect(plan).toBeUndefined()
})

test("a test at the limit is planned", () => {
  const { diagnostics } = compile("wide.ruleout", () => ruleset(12, 2), { effort: 100 })
  expect(diagnostics.map(({ code }) => code)).not.toContain("too-many-outcomes")
})
