import { expect, test } from "vitest"
import { openFolder, said } from "../run.ts"

const { read, put } = openFolder()
const seat = read("seat.ruleout")

const write = (name: string, scenarios: string) => put(name, `${seat}${scenarios}`)

const good = 'scenario "By the plan"\n  expects next try_board\n  does try_board gone\n'
const bad = 'scenario "By hope"\n  expects board_dead at least 80%\n  does try_board stays\n  expects close\n'

test("what is as expected, what isn't and where, and what was touched", async () => {
  expect(await said(["test", write("good.ruleout", good)])).toMatchInlineSnapshot(`
    {
      "err": "",
      "exit": 0,
      "out": "good.ruleout
      as expected  By the plan
    1 scenario, 1 as expected
    branches of the graph taken: 1 of 5
    ",
    }
  `)
  expect(await said(["test", write("bad.ruleout", `${good}${bad}`)])).toMatchInlineSnapshot(`
    {
      "err": "",
      "exit": 1,
      "out": "bad.ruleout
      as expected  By the plan
      not as expected  By hope
        bad.ruleout:24:11  Expected \`board_dead\` to be active in at least 80 %, but it is in 50 %.
        bad.ruleout:26:3  Expected the proof run next, but it is to hand over.
    2 scenarios, 1 as expected
    branches of the graph taken: 1 of 5
    ",
    }
  `)
})

test("as JSON, for tools", async () => {
  const { out, exit } = await said(["test", write("both.ruleout", `${good}${bad}`), "--json"])
  const { rulesets } = JSON.parse(out)
  expect(exit).toBe(1)
  expect(rulesets).toHaveLength(1)
  expect(rulesets[0]).toMatchObject({
    file: "both.ruleout",
    scenarios: [
      { text: "By the plan", failures: [], log: [{ act: { test: "try_board" }, found: "gone" }] },
      {
        text: "By hope",
        failures: [
          { line: 24, column: 11 },
          { line: 26, column: 3 },
        ],
      },
    ],
    rules: [],
    branches: { taken: 1 },
  })
})

test("a ruleset with an error or without a scenario ends with 2, and says the next step", async () => {
  const broken = await said(["test", write("broken.ruleout", 'scenario "x"\n  expects next try_bord\n')])
  expect(broken.exit).toBe(2)
  expect(broken.err).toContain("Did you mean `try_board`?")
  const none = await said(["test", "seat.ruleout"])
  expect(none.exit).toBe(2)
  expect(none.err).toContain("`seat.ruleout` has no scenario.")
})
