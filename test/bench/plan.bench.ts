import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import type { Model } from "../../compiler/model/model.ts"
import { type Means, meansOf } from "../../compiler/plan/means.ts"
import { makePlan, makePlanner } from "../../compiler/plan/planner.ts"
import { makeProblem } from "../../compiler/plan/problem.ts"
import { machineFrom } from "../support/machines.ts"
import { medium, seeded, sketchFrom, tiny } from "../support/models.ts"
import { modelOf } from "../support/sketch.ts"
import { solve } from "../support/solved.ts"
import { type Baseline, chancePerCost, gainPerCost, oneStep, rollout, totalOf } from "./baselines.ts"
import { option } from "./option.ts"
import { plot, type Row } from "./plan-plot.ts"
import { cpuSeconds } from "./time.ts"

export const title =
  "Planning, against its base policy and against the optimum (--models=300 for that many of each size, --size=12 for some)"

const asked = Number(option("models"))
const only = option("size")
const folder = join(import.meta.dirname, "../../.tmp/bench")
const machines = (faults: number, tests: number) => (seed: number) =>
  modelOf(machineFrom(seeded(seed), { faults, tests }))
const drawn = (size: typeof tiny) => (seed: number) => modelOf(sketchFrom(seeded(seed), size))

interface Size {
  readonly name: string
  readonly make: (seed: number) => Model
  readonly count: number
  readonly effort?: number
  /** The least total by trying every plan, where that is possible. */
  readonly optimum?: (seed: number) => number | undefined
}

/** Rules of thumb, each followed from the start to the end of the job. */
const THUMBS: readonly (readonly [name: string, baseline: (means: Means) => Baseline])[] = [
  ["gain per cost", (means) => gainPerCost(means, 1)],
  ["gain per cost, two steps ahead", (means) => gainPerCost(means, 2)],
  ["rollout of that, where many jobs come", (means) => rollout(means, gainPerCost(means, 2))],
  ["chance for cost, repairs alone", chancePerCost],
  ["base policy alone", oneStep],
]
const PORTFOLIO = "the best of these for each model"

/** How many models by default; `effort`: states for the plan, where not as by default. */
const sizes: Size[] = [
  {
    name: "any ruleset, 3 faults, 3 tests",
    make: drawn(tiny),
    count: 100,
    optimum: (seed) => solve(sketchFrom(seeded(seed), tiny))?.best,
  },
  { name: "any ruleset, 14 faults, 14 tests", make: drawn(medium), count: 20, effort: 20_000 },
  { name: "machine, 6 faults, 6 tests", make: machines(6, 6), count: 30 },
  { name: "machine, 12 faults, 12 tests", make: machines(12, 12), count: 10 },
  { name: "machine, 30 faults, 30 tests", make: machines(30, 30), count: 6, effort: 10_000 },
  // As by default: at most 30 s of processor.
  { name: "machine, 50 faults, 50 tests", make: machines(50, 50), count: 2 },
  { name: "machine, 60 faults, 60 tests", make: machines(60, 60), count: 1 },
]

/** States of a plan made in a hurry, to see how near to the best it is. */
const HURRY = 2000

/** What is measured of the models of one size; the plan's expected total is 1. */
interface Measured {
  readonly size: string
  readonly summary: string
  readonly rows: readonly Row[]
}

export function run(print: (line: string) => void): void {
  mkdirSync(folder, { recursive: true })
  for (const size of sizes) {
    if (only && !size.name.includes(only)) continue
    const measured = measure(size)
    print(measured.summary)
    for (const { name, ratio } of measured.rows) print(`    ${name.padEnd(36)} ${ratio.toFixed(4)}`)
    keep(measured)
  }
  if (!only || "manufacturer".includes(only)) manufacturer(print)
  print("table, plot: .tmp/bench/plan.md, .tmp/bench/plan.svg")
}

function measure({ name, make, count, effort, optimum }: (typeof sizes)[number]): Measured {
  const many = asked || count
  const hurry = `plan of ${HURRY.toLocaleString("en")} states, where proved`
  const names = [
    "optimum, where proved",
    hurry,
    "lower bound",
    "unavoidable",
    "the plan",
    ...THUMBS.map(([name]) => name),
    PORTFOLIO,
  ]
  const means = new Map(names.map((key) => [key, { sum: 0, count: 0 }]))
  const add = (key: string, value: number) => {
    const mean = means.get(key)!
    mean.sum += value
    mean.count++
  }
  const each: number[] = []
  let proved = 0
  let compared = 0
  for (let seed = 1; seed <= many; seed++) {
    const model = make(seed)
    const from = cpuSeconds()
    const planner = makePlanner(model, effort ? { effort } : {})
    planner.advance(Number.POSITIVE_INFINITY)
    each.push(cpuSeconds() - from)
    const plan = planner.plan()
    const { total } = plan.expected
    const best = plan.exact ? total : optimum?.(seed)
    if (best !== undefined) proved++
    // A model that is best handed over at once compares nothing.
    if (total >= model.ruleset.handover - 1e-9 || total < 1e-9) continue
    compared++
    if (best !== undefined) {
      add("optimum, where proved", best / total)
      const hurried = makePlan(model, { effort: HURRY })
      add(hurry, hurried.expected.total / total)
    }
    add("lower bound", plan.lower / total)
    add("the plan", 1)
    add("unavoidable", plan.expected.unavoidable / total)
    const peers = thumbs(model)
    for (const [peer, cost] of peers) add(peer, cost / total)
    add(PORTFOLIO, Math.min(...peers.map(([, cost]) => cost)) / total)
  }
  const mean = each.reduce((a, b) => a + b, 0) / many
  return {
    size: name,
    summary: `${name}: ${many} models, ${proved} proved; ${compared} call for tests; ${mean.toFixed(2)} s of processor a plan, the longest ${Math.max(...each).toFixed(1)} s`,
    rows: [...means]
      .filter(([, { count }]) => count > 0)
      .map(([key, { sum, count }]) => ({ size: name, name: key, ratio: sum / count })),
  }
}

function thumbs(model: Model): [string, number][] {
  const means = meansOf(makeProblem(model))
  const start = means.dynamics.start()
  return THUMBS.map(([name, baseline]) => [name, totalOf(means, baseline(means), start)])
}

/** Writes table and plot anew, with what was measured of other sizes before. */
function keep(measured: Measured): void {
  const path = join(folder, "plan.json")
  const before: Measured[] = existsSync(path) ? JSON.parse(readFileSync(path, "utf8")) : []
  const now = sizes.flatMap(({ name }) =>
    name === measured.size ? [measured] : before.filter(({ size }) => size === name),
  )
  writeFileSync(path, JSON.stringify(now))
  writeFileSync(join(folder, "plan.svg"), plot(now.flatMap(({ rows }) => rows)))
  const table = now.map(
    ({ summary, rows }) =>
      `${summary}\n\n| expected total | mean |\n| --- | ---: |\n${rows.map(({ name, ratio }) => `| ${name} | ${ratio.toFixed(4)} |`).join("\n")}\n`,
  )
  writeFileSync(join(folder, "plan.md"), table.join("\n"))
}

/** So many states are a first plan of a ruleset that large (--states=30000: a long search, until the memory is full). */
const FIRST = Number(option("states")) || 2400

function manufacturer(print: (line: string) => void): void {
  const model = machines(500, 300)(1)
  const from = cpuSeconds()
  const planner = makePlanner(model, { effort: FIRST, bare: true })
  const { upper, expanded, bytes } = planner.advance(Number.POSITIVE_INFINITY)
  const planned = cpuSeconds()
  const plan = planner.plan()
  const written = cpuSeconds()
  const advised = plan.nodes.reduce((sum, node) => sum + (node.do === "advise" ? node.reach : 0), 0)
  const mega = (count: number) => Math.round(count / 2 ** 20)
  const part = (share: number) => `${(100 * share).toFixed(2)} %`
  print(
    `machine, ${model.faults.length} faults, ${model.tests.length} tests: ` +
      `${expanded} states in ${(planned - from).toFixed(1)} s of processor and ${(written - planned).toFixed(1)} s to write it down; ${mega(bytes)} MB of states, ` +
      `peak ${Math.round(process.resourceUsage().maxRSS / 1024)} MB; total ${upper.toFixed(1)} (handing over ${model.ruleset.handover}), ` +
      `${plan.nodes.length} nodes; pairs left out ${part(plan.leftOut)}, left to the runner ${part(advised)}`,
  )
}
