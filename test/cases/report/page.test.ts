import { expect, test } from "vitest"
import { reportPage } from "../../../compiler/cases/report/render-html.ts"
import type { RuleIndex } from "../../../compiler/run/indexes.ts"
import { report } from "../small-machine.ts"

const right = { steps: [{ test: "look_glow", found: "yes" }], faults: ["board_dead"] }
const wrong = { steps: [{ test: "look_glow", found: "no" }], faults: ["board_dead"], came_back: true }

test("the page holds figures and plots, and nothing that it would have to load", () => {
  const page = reportPage(report(right, wrong, { steps: [], faults: ["lid_open"] }))
  expect(page.match(/<svg/g)!.length).toBe(4)
  expect(page).toContain("1 of 2, 50.0 %")
  expect(page).toMatch(/said \d+\.\d %, held 0 of 1/)
  expect(page).not.toMatch(/<script|https?:|src=|href=|url\(|@import/)
})

test("what cases and ruleset say cannot become markup", () => {
  const sly = `"><img onerror='x' src=x>\u202e&amp;`
  const all = report({ ...wrong, id: sly, faults: [sly] }, { ...wrong, id: sly })
  const ruleset = { name: sly, version: sly, source: sly }
  const page = reportPage({
    ...all,
    ruleset,
    rules: [{ rule: 0 as RuleIndex, line: 1, used: 1, because: sly, name: sly }],
  })
  expect(page).not.toMatch(/<img|onerror='|\u202e/)
  expect(page).toContain("&#34;&#62;&#60;img onerror=&#39;x&#39; src=x&#62;&#8238;&#38;amp;")
})
