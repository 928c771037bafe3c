import { expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { open } from "../../compiler/run/index.ts"

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

test("what the runner would refuse is an error of the ruleset, and no graph", () => {
  const bench = (looks: string, price = "1") => `ruleset long "Long"
    handover costs 1000
    part p "part" price ${price}
    complaint c "it fails" ${looks}
    fault f "fault" in p odds 1
    proof "Start it" times 2`
  const outcome = (text: string) => {
    const { diagnostics, graph } = compile("long.ruleout", () => text, { effort: 100 })
    if (graph) open(JSON.parse(JSON.stringify(graph)))
    return graph
      ? "a graph"
      : diagnostics.filter(({ severity }) => severity === "error").map(({ code }) => code)
  }
  expect(outcome(bench("takes 1 min tries 10000"))).toBe("a graph")
  expect(outcome(bench("takes 1 min tries 10001"))).toEqual(["out-of-range"])
  expect(outcome(bench("", "100000000000"))).toBe("a graph")
  expect(outcome(bench("", "10000000000000"))).toEqual(["out-of-range"])
  const dear = `${bench("").replace('"Long"', '"Long" bench 1000000000000 per hour')}
    test strip "Strip the machine" swaps p takes 2 h`
  expect(outcome(dear)).toEqual(["too-large"])
  const faults = (n: number) =>
    `${bench("")}\n${words(n - 1, "f")
      .map((name) => `fault ${name} "x" in p odds 1`)
      .join("\n")}`
  expect(outcome(faults(2001))).toEqual(["too-many-faults"])
})
