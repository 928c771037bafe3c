import { mkdirSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import type { Model } from "../../compiler/model/model.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { makeProblem } from "../../compiler/plan/problem.ts"
import { machineFrom } from "../support/machines.ts"
import { medium, seeded, sketchFrom, tiny } from "../support/models.ts"
import { bestTotal } from "../support/policies.ts"
import { modelOf } from "../support/sketch.ts"
import { peers, totalOf } from "./plan-peers.ts"
import { plot, type Row } from "./plan-plot.ts"

export const title = "Planning, against simpler rules and against the optimum (--all: 300 models a size)"

const all = process.argv.includes("--all")
const machines = (faults: number, tests: number) => (seed: number) =>
  modelOf(machineFrom(seeded(seed), { faults, tests }))
const drawn = (size: typeof tiny) => (seed: number) => modelOf(sketchFrom(seeded(seed), size))

/** `effort`: states for the plan; `proof`: states for proving what is the best; how many models by default. */
const sizes = [
  { name: "any ruleset, 4 faults, 3 tests", make: drawn(tiny), count: 100, effort: 100_000, proof: 0 },
  { name: "any ruleset, 14 faults, 14 tests", make: drawn(medium), count: 20, effort: 5000, proof: 40_000 },
  { name: "machine, 6 faults, 6 tests", make: machines(6, 6), count: 30, effort: 5000, proof: 40_000 },
  { name: "machine, 12 faults, 12 tests", make: machines(12, 12), count: 10, effort: 5000, proof: 60_000 },
  { name: "machine, 30 faults, 30 tests", make: machines(30, 30), count: 6, effort: 10_000, proof: 0 },
]

/** Seconds of processor, whatever else the machine is doing. */
function seconds(): number {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1e6
}

export function run(print: (line: string) => void): void {
  const rows: Row[] = []
  for (const { name, make, count, effort, proof } of sizes) {
    const many = all ? 300 : count
    const sums = new Map<string, number>()
    const add = (key: string, value: number) => sums.set(key, (sums.get(key) ?? 0) + value)
    const perState: number[] = []
    let proved = 0
    let compared = 0
    for (let seed = 1; seed <= many; seed++) {
      const model = make(seed)
      const from = seconds()
      const planner = makePlanner(model, { effort })
      planner.advance(Number.POSITIVE_INFINITY)
      perState.push((seconds() - from) / Math.max(1, planner.progress.expanded))
      const total = planner.plan().expected.total
      const best = bestOf(model, proof, name.includes("3 tests"))
      if (best.isProved) proved++
      // A model that is best handed over at once compares nothing.
      if (total >= model.ruleset.handover - 1e-9 || total < 1e-9) continue
      compared++
      if (best.isProved) add("optimum", best.total / total)
      add("proved", best.isProved ? 1 : 0)
      add("lower bound", best.lower / total)
      const problem = makeProblem(model)
      for (const peer of peers) add(peer.name, totalOf(problem, peer, seeded(seed)) / total)
    }
    const mean = perState.reduce((a, b) => a + b, 0) / perState.length
    print(
      `${name}: ${many} models, ${proved} proved; ${compared} call for tests; ${(1e6 * mean).toFixed(0)} µs of processor a state`,
    )
    const row = (label: string, ratio: number) => {
      rows.push({ size: name, name: label, ratio })
      print(`    ${label.padEnd(36)} ${ratio.toFixed(4)}`)
    }
    if (sums.get("proved")) row("optimum, where proved", sums.get("optimum")! / sums.get("proved")!)
    row("lower bound", sums.get("lower bound")! / compared)
    row("the plan", 1)
    for (const peer of peers) row(peer.name, sums.get(peer.name)! / compared)
  }
  manufacturer(print)
  const folder = join(import.meta.dirname, "../../.tmp/bench")
  mkdirSync(folder, { recursive: true })
  writeFileSync(join(folder, "plan.svg"), plot(rows))
  print("plot: .tmp/bench/plan.svg")
}

/** The least total: by trying every policy, or by planning until it is proved or the effort is spent. */
function bestOf(model: Model, proof: number, isTiny: boolean) {
  if (isTiny) {
    const total = bestTotal(model)
    return { total, lower: total, isProved: true }
  }
  const planner = makePlanner(model, { effort: proof })
  if (proof > 0) planner.advance(Number.POSITIVE_INFINITY)
  const { upper, lower } = planner.progress
  return { total: upper, lower, isProved: upper - lower <= 1e-9 }
}

function manufacturer(print: (line: string) => void): void {
  const model = machines(500, 300)(1)
  const from = seconds()
  const planner = makePlanner(model, { effort: all ? 100_000 : 15_000 })
  const made = seconds()
  const { upper, expanded, bytes } = planner.advance(Number.POSITIVE_INFINITY)
  const planned = seconds()
  const plan = planner.plan()
  const advised = plan.nodes.reduce((sum, node) => sum + (node.do === "advise" ? node.reach : 0), 0)
  const mega = (count: number) => Math.round(count / 2 ** 20)
  print(
    `machine, ${model.faults.length} faults, ${model.tests.length} tests: made in ${(made - from).toFixed(2)} s, ` +
      `${expanded} states in ${(planned - made).toFixed(1)} s of processor; ${mega(bytes)} MB of states, ` +
      `${mega(process.memoryUsage().rss)} MB resident; total ${upper.toFixed(1)} (handing over ${model.ruleset.handover}), ` +
      `${plan.nodes.length} nodes, ${(100 * advised).toFixed(2)} % left to the runner`,
  )
}
