/**
 * Writes the figures of each ruleset into its page, between the two `figures` marks, so that no number on a page is typed:
 * `npx tsx rulesets/write-figures.ts [--jobs=N] [FOLDER…]`. The plan is the one of `ruleout compile` without options. A ruleset in
 * which `ruleout check --plan` finds anything gets no figures. With `--jobs=N` the table of worlds is written anew as well.
 */
import { readFileSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { replay } from "../compiler/cases/report/replay.ts"
import type { Report } from "../compiler/cases/report/report.ts"
import type { Share } from "../compiler/cases/stats/wilson.ts"
import { compile, type Graph } from "../compiler/compile.ts"
import type { Model } from "../compiler/model/model.ts"
import type { Plan } from "../compiler/plan/plan.ts"
import { casesOf, drawn } from "./generate-cases.ts"
import { fileOf, readPicture, readText } from "./read-model.ts"
import { jobsIn, withWorlds } from "./write-worlds.ts"

const here = import.meta.dirname

const percent = (share: number) => `${(100 * share).toFixed(1)} %`
const shown = ({ count, of, share, low, high }: Share) =>
  `${count} of ${of}, ${percent(share)} (${percent(low)} to ${percent(high)})`

/** Cases that did not end as well as they could, or bought in vain. */
const wrongOf = (report: Report) =>
  report.noted.filter(({ isRight, ending }) => !isRight && ending !== "open").map(({ id }) => `\`${id}\``)

function figures(model: Model, plan: Plan, graph: Graph, report: Report): string {
  const rows = [...ofPlan(model, plan, graph), ...ofCases(report)]
  return ["| | |", "|---|---|", ...rows.map(([what, value]) => `| ${what} | ${value} |`)].join("\n")
}

function ofPlan(model: Model, { expected, lower, exact }: Plan, graph: Graph): [string, string][] {
  const money = (amount: number) => `${amount.toFixed(2)} ${model.ruleset.money}`
  const gap = exact ? "proved the least" : `no plan costs less than ${money(lower)}`
  const told = model.readings.filter((each) => each.told).length
  return [
    ["faults, readings, told questions", `${model.faults.length}, ${model.readings.length - told}, ${told}`],
    ["tests, rules", `${model.tests.length - told}, ${model.rules.length}`],
    ["expected cost of a job", `${money(expected.total)}; ${gap}`],
    [
      "of that unavoidable; the price of not knowing",
      `${money(expected.unavoidable)}; ${money(expected.total - expected.unavoidable)}`,
    ],
    ["parts; of these bought in vain", `${money(expected.parts)}; ${money(expected.wasted)}`],
    ["expected minutes, steps", `${expected.minutes.toFixed(1)}, ${expected.steps.toFixed(1)}`],
    ["comes back, handed over", `${percent(expected.comesBack)}, ${percent(expected.handedOver)}`],
    ["nodes of the graph", `${graph.nodes.length}`],
  ]
}

function ofCases(report: Report): [string, string][] {
  const { endings, allEnds, inVain, minutes } = report
  const rows: [string, string][] = [
    [
      "all cases, open ones carried on by the chances: whole, comes back, handed over",
      [allEnds.fixed, allEnds.comesBack, allEnds.handedOver].map(percent).join(", "),
    ],
    ["cases; decided by what they record", `${report.cases}; ${endings.fixed.of}`],
    ["leaves whole", shown(endings.fixed)],
    ["comes back", shown(endings.comesBack)],
    ["handed over", shown(endings.handedOver)],
    ["a part bought in vain", shown(inVain.cases)],
    ["those that did not go as well as they could", wrongOf(report).join(", ") || "none"],
    ["open, out of all", shown(endings.open)],
  ]
  if (minutes)
    rows.push([
      "minutes where it leaves whole, against the record",
      `${minutes.walked.toFixed(1)} against ${minutes.recorded.toFixed(1)}`,
    ])
  return rows
}

function write(folder: string, jobs: number | undefined): void {
  const page = join(here, folder, "README.md")
  const { model, plan, graph, diagnostics } = compile(fileOf(folder), readText, {
    readPicture,
  })
  if (!model || !plan || !graph || diagnostics.length > 0)
    throw new Error(`${folder} is not clean:\n${diagnostics.map(({ message }) => message).join("\n")}`)
  const { report } = replay(graph, readFileSync(casesOf(folder), "utf8"))
  const text = readFileSync(page, "utf8")
  const marks = /(<!-- figures -->\n)[\s\S]*?(<!-- \/figures -->)/
  if (!marks.test(text)) throw new Error(`${page} lacks the marks <!-- figures --> and <!-- /figures -->`)
  // What is said of a drawn case holds for the cases and the plan of its day.
  const stale = (text.replace(marks, "").match(/`G-\d+`/g) ?? []).filter(
    (id) => !wrongOf(report).includes(id),
  )
  if (stale.length > 0)
    throw new Error(`${page} says of ${stale.join(", ")} that it goes wrong, and it does not`)
  const figured = text.replace(
    marks,
    (_, from: string, to: string) => `${from}\n${figures(model, plan, graph, report)}\n\n${to}`,
  )
  writeFileSync(page, jobs === undefined ? figured : withWorlds(figured, graph, jobs))
  console.error(`${folder}: ${plan.expected.total.toFixed(2)}, ${graph.nodes.length} nodes`)
}

if (process.argv[1]?.endsWith("write-figures.ts")) {
  const words = process.argv.slice(2)
  const folders = words.filter((word) => !word.startsWith("--"))
  for (const folder of folders.length > 0 ? folders : Object.keys(drawn)) write(folder, jobsIn(words))
}
