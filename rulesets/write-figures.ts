/**
 * Writes the figures of each ruleset into its page, between the two `figures` marks, so that no number on a page is typed:
 * `npx tsx rulesets/write-figures.ts [FOLDER…]`. The plan is the one of `ruleout compile` without options. A ruleset in
 * which `ruleout check --plan` finds anything gets no figures.
 */
import { existsSync, readFileSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { replay } from "../compiler/cases/report/replay.ts"
import type { Report } from "../compiler/cases/report/report.ts"
import type { Share } from "../compiler/cases/stats/wilson.ts"
import { compile, type Graph } from "../compiler/compile.ts"
import type { Model } from "../compiler/model/model.ts"
import type { Plan } from "../compiler/plan/plan.ts"
import { casesOf, drawn } from "./generate-cases.ts"

const here = import.meta.dirname

/** A place with less chance than this is not counted to the group that a verdict isolates to. */
const COUNTED = 0.01

/**
 * Share of all jobs whose verdict leaves at most so many places: isolation to a group of at most L replaceable units, as in
 * MIL-STD-2165 and IEEE 1522 (from memory), with setups counted as units. Handing over isolates nothing.
 */
export function isolation(model: Model, plan: Plan, most: number): number {
  let isolated = 0
  for (const node of plan.nodes) {
    if (node.do !== "verdict") continue
    const chances = new Map<number, number>()
    for (const [f, { place }] of model.faults.entries()) {
      const chance = node.belief.uncured[f]! + node.belief.cured[f]!
      chances.set(place, (chances.get(place) ?? 0) + chance)
    }
    if ([...chances.values()].filter((chance) => chance >= COUNTED).length <= most) isolated += node.reach
  }
  return isolated
}

const percent = (share: number) => `${(100 * share).toFixed(1)} %`
const shown = ({ count, of, share, low, high }: Share) =>
  `${count} of ${of}, ${percent(share)} (${percent(low)} to ${percent(high)})`

const wrongOf = (report: Report) =>
  report.noted.filter(({ ending }) => ending === "wrong").map(({ id }) => `\`${id}\``)

function figures(model: Model, plan: Plan, graph: Graph, report: Report): string {
  const { expected, lower, exact } = plan
  const { verdicts, openEnds, minutes } = report
  const money = (amount: number) => `${amount.toFixed(2)} ${model.ruleset.money}`
  const gap = exact ? "proved the least" : `no order costs less than ${money(lower)}`
  const told = model.readings.filter((each) => each.told).length
  const rows: [string, string][] = [
    ["faults, readings, told questions", `${model.faults.length}, ${model.readings.length - told}, ${told}`],
    ["tests, eliminations", `${model.tests.length - told}, ${model.rules.length}`],
    ["expected cost of a job", `${money(expected.total)}; ${gap}`],
    ["expected minutes, steps", `${expected.minutes.toFixed(1)}, ${expected.steps.toFixed(1)}`],
    ["wrong verdict, handed over", `${percent(expected.wrong)}, ${percent(expected.handover)}`],
    [
      "isolated to 1, 2, 3 places at most",
      [1, 2, 3].map((most) => percent(isolation(model, plan, most))).join(", "),
    ],
    ["nodes of the graph", `${graph.nodes.length}`],
    ["cases; decided by what they record", `${report.cases}; ${verdicts.remedy.of}`],
    ["right remedy", shown(verdicts.remedy)],
    ["wrong", shown(verdicts.wrong)],
    ["wrong ones", wrongOf(report).join(", ") || "none"],
    ["handed over", shown(verdicts.handover)],
    ["open, out of all", shown(verdicts.open)],
    [
      "open ones carried on by the chances: right, wrong, handed over, out of all",
      [openEnds.remedy, openEnds.wrong, openEnds.handover]
        .map((each) => percent(each / report.cases))
        .join(", "),
    ],
  ]
  if (minutes)
    rows.push([
      "minutes where it gives a verdict, against the record",
      `${minutes.walked.toFixed(1)} against ${minutes.recorded.toFixed(1)}`,
    ])
  return ["| | |", "|---|---|", ...rows.map(([what, value]) => `| ${what} | ${value} |`)].join("\n")
}

function write(folder: string): void {
  const page = join(here, folder, "README.md")
  const read = (path: string) => (existsSync(path) ? readFileSync(path, "utf8") : undefined)
  const { model, plan, graph, diagnostics } = compile(join(here, folder, `${folder}.ruleout`), read)
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
  writeFileSync(
    page,
    text.replace(
      marks,
      (_, from: string, to: string) => `${from}\n${figures(model, plan, graph, report)}\n\n${to}`,
    ),
  )
  console.error(`${folder}: ${plan.expected.total.toFixed(2)}, ${graph.nodes.length} nodes`)
}

if (process.argv[1]?.endsWith("write-figures.ts")) {
  const folders = process.argv.slice(2)
  for (const folder of folders.length > 0 ? folders : Object.keys(drawn)) write(folder)
}
