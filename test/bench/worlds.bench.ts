import { existsSync, readdirSync } from "node:fs"
import { join } from "node:path"
import { playWorlds, type WorldFigures } from "../../compiler/cases/worlds/play-worlds.ts"
import { compiledFrom } from "../../rulesets/read-model.ts"
import { plain, type World, written } from "../support/hidden-machine.ts"
import { seeded } from "../support/models.ts"
import { disagreements, type Simulated, simulate } from "../support/simulate.ts"
import { option } from "./option.ts"

export const title =
  "Worlds: machines drawn and played through each shipped graph, in the world as written and in worlds that are not"

/** `--jobs=2000` for a quick look. */
const jobs = Number(option("jobs") ?? 20_000)
/** Share of the jobs beyond the graph that are played to their end, `--carried-on=1` for all: the runner takes its time. */
const carriedOn = Number(option("carried-on") ?? 0.1)
const folder = join(import.meta.dirname, "../../rulesets")

/** Odds three times too high or too low, a coin for each fault. */
function oddsOff(): World {
  const draw = seeded(3)
  const factors = Array.from({ length: 1000 }, () => (draw.int(0, 1) === 0 ? 3 : 1 / 3))
  return { name: "odds off by three", rules: "plain", odds: (fault) => factors[fault]! }
}

const worlds: readonly World[] = [
  written,
  plain,
  oddsOff(),
  { name: "3 % misread", rules: "plain", misread: 0.03 },
  { name: "complaint seen 0.7 times as often", rules: "plain", recurs: 0.7 },
  { name: "8 % two faults", rules: "plain", second: 0.08 },
  { name: "5 % not listed", rules: "plain", unlisted: 0.05 },
]

const percent = (share: number) => `${(share * 100).toFixed(1)} %`

function row(name: string, { figures, offGraph, unexplained, stuck }: Simulated): string {
  const { comesBack, handedOver, wasted, total } = figures
  const whole = 1 - comesBack.mean - handedOver.mean
  return [
    name.padEnd(34),
    `whole ${percent(whole)}`,
    `comes back ${percent(comesBack.mean)}`,
    `handed over ${percent(handedOver.mean)}`,
    `nothing fits ${percent(unexplained)}`,
    `parts in vain ${wasted.mean.toFixed(2)}`,
    `total ${total.mean.toFixed(2)} ± ${total.error.toFixed(2)}`,
    `off the graph ${percent(offGraph)}`,
    `dead ends ${percent(stuck)}`,
  ].join("; ")
}

/** The same world as `ruleout compile --worlds` plays it. */
function playedRow({
  whole,
  comesBack,
  handedOver,
  inVain,
  total,
  beyond,
  deadEnds,
  jobs,
}: WorldFigures): string {
  return [
    "    by compile --worlds".padEnd(34),
    `whole ${percent(whole.mean)}`,
    `comes back ${percent(comesBack.mean)}`,
    `handed over ${percent(handedOver.mean)}`,
    `parts in vain ${inVain.mean.toFixed(2)}`,
    `total ${total.mean.toFixed(2)} ± ${total.error.toFixed(2)}`,
    `off the graph ${percent(beyond.mean)}`,
    `dead ends ${percent(deadEnds / jobs)}`,
  ].join("; ")
}

export function run(line: (text: string) => void): void {
  const [wanted, wantedWorld] = [option("ruleset"), option("world")]
  for (const name of readdirSync(folder)) {
    const path = join(folder, name, `${name}.ruleout`)
    if (!existsSync(path) || (wanted !== undefined && wanted !== name)) continue
    const { model, graph } = compiledFrom(path)
    if (!model || !graph) {
      line(`${name}: does not compile`)
      continue
    }
    line(`${name}: ${jobs} jobs, expected total ${graph.expected.total.toFixed(2)}`)
    for (const world of worlds) {
      if (wantedWorld !== undefined && wantedWorld !== world.name) continue
      const simulated = simulate(model, graph, seeded(1), jobs, world, carriedOn)
      line(row(`  ${world.name}`, simulated))
      // There a machine knows nothing of rules, and so it has no world as written with them.
      if (world.rules === "plain") {
        const odds = world.odds && graph.faults.map((_, fault) => world.odds!(fault))
        const { odds: _, rules: __, ...rest } = world
        const [played] = playWorlds(graph, jobs, [{ ...rest, ...(odds ? { odds } : {}) }])
        line(playedRow(played!))
      }
      if (world === written) {
        const apart = disagreements(simulated, graph)
        line(
          `    against expected: ${apart.length === 0 ? "all within four standard errors" : apart.join("; ")}`,
        )
      }
    }
  }
}
