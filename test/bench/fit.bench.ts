import { join } from "node:path"
import { Fitting, graphWithoutPlan } from "../../compiler/cases/fit/fit.ts"
import { readCase } from "../../compiler/cases/record/read.ts"
import { sourceReader } from "../../compiler/cli/io/compile-file.ts"
import { type Analysis, analyse } from "../../compiler/compile.ts"
import type { Model } from "../../compiler/model/model.ts"
import { drawCases } from "../../rulesets/draw-cases.ts"
import { GUESSED_TILL, GUESSED_WHOLE_TILL, jobs, SURE_TILL, TILL, till, WHOLE_TILL } from "../cases/till.ts"
import { boundsOf, coverage } from "../support/coverage.ts"
import { option } from "./option.ts"
import { cpuSeconds } from "./time.ts"

export const title = "Fitting numbers to recorded cases: how often intervals hold the truth, time and memory"

const bike = join(import.meta.dirname, "../../rulesets/hire-bike-no-help/hire-bike-no-help.ruleout")

export function run(print: (line: string) => void): void {
  covered(print, "the till", TILL, GUESSED_TILL, 200)
  covered(print, "the till with the words of the whole job", WHOLE_TILL, GUESSED_WHOLE_TILL, 500)
  covered(print, "the same where much is nearly sure", SURE_TILL, GUESSED_WHOLE_TILL, 500)
  if (option("only") === "intervals") return
  const shop = till(WHOLE_TILL)
  grows(print, "jobs of the till", shop, (count) => jobs(shop.model, count, 5))
  const analysis = analyse(bike, sourceReader(bike))
  const { model } = analysis
  if (!model) throw new Error("The bicycle does not compile.")
  grows(print, "jobs of the hire bicycle, of which no two are alike", { ...analysis, model }, (count) =>
    drawCases(model, count, 99).cases.map((each) => JSON.stringify(each)),
  )
  million(print, shop)
}

const percent = (share: number) => (100 * share).toFixed(1)

/** By number how often its intervals hold the truth, and which of them lie outside 93 to 97 %. */
function covered(
  print: (line: string) => void,
  name: string,
  truth: string,
  guess: string,
  count: number,
): void {
  const repetitions = Number(option("repetitions") ?? 1000)
  const { all, covered: held, of } = coverage(till(truth), till(guess), { repetitions, jobs: count })
  const error = (100 * Math.sqrt((0.95 * 0.05) / repetitions)).toFixed(1)
  print(
    `${name}, ${repetitions} times ${count} jobs: ${percent(held / all)} % of ${all} intervals at 95 % hold the truth; of each number (± ${error}, one standard error):`,
  )
  for (const [key, { all: n, covered: k }] of of) print(`  ${percent(k / n)} % of ${n}: ${key}`)
  const outside = [...of].filter(([, { all: n, covered: k }]) => k / n < 0.93 || k / n > 0.97)
  const { least, most } = boundsOf(repetitions)
  const unlikely = [...of.values()].filter(
    ({ all: n, covered: k }) => n === repetitions && (k < least || k > most),
  )
  print(
    `  outside 93 to 97 %: ${outside.map(([key]) => key).join(", ") || "none"}; further from 95 % than 1 of 1,000 true ones: ${unlikely.length} of ${of.size}`,
  )
}

type Ruleset = Analysis & { readonly model: Model }

function fitted({ model, trees }: Ruleset, lines: Iterable<string>): void {
  const fitting = new Fitting(model, trees, { weight: 20 })
  const graph = graphWithoutPlan(model)
  let n = 0
  for (const line of lines) {
    const { case: record } = readCase(line, ++n, graph)
    if (record) fitting.add(record)
  }
  fitting.result()
}

/** User time of reading and fitting, as cases double. */
function grows(
  print: (line: string) => void,
  name: string,
  ruleset: Ruleset,
  draw: (count: number) => readonly string[],
): void {
  const taken = [8000, 16_000, 32_000, 64_000].map((count) => {
    const lines = draw(count)
    const from = cpuSeconds()
    fitted(ruleset, lines)
    return `${count.toLocaleString("en")} in ${(cpuSeconds() - from).toFixed(1)} s`
  })
  print(`${name}, read and fitted: ${taken.join(", ")}`)
}

/** As many jobs as a chain of shops has in years, drawn on the way. */
function million(print: (line: string) => void, ruleset: Ruleset): void {
  const many = 1_200_000
  const step = 2000
  function* lines() {
    for (let from = 0; from < many; from += step) yield* jobs(ruleset.model, step, 1 + from / step)
  }
  const from = cpuSeconds()
  fitted(ruleset, lines())
  print(
    `${many.toLocaleString("en")} jobs drawn, read and fitted in ${(cpuSeconds() - from).toFixed(0)} s of processor, ${Math.round(process.memoryUsage().rss / 2 ** 20)} MiB`,
  )
}
