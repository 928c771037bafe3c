/**
 * Writes into each ruleset's page, between the two `worlds` marks, what becomes of machines that are drawn and played through its
 * graph: in the world as it is written and in worlds that are not. `npx tsx rulesets/write-worlds.ts [--jobs=N] [FOLDER…]`; the more jobs, the
 * smaller the error that stands beside each share, and the longer it takes.
 */
import { existsSync, readFileSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { compile } from "../compiler/compile.ts"
import { plain, type World, written } from "../test/support/hidden-machine.ts"
import { seeded } from "../test/support/models.ts"
import { type Simulated, simulate } from "../test/support/simulate.ts"
import { drawn } from "./generate-cases.ts"

const here = import.meta.dirname
const SEED = 1

const worlds: readonly World[] = [
  written,
  { ...plain, name: "3 % of the readings written down wrong", misread: 0.03 },
  { ...plain, name: "two faults in every machine", second: 1, unlisted: 0 },
  { ...plain, name: "something unlisted in every machine", second: 0, unlisted: 1 },
]

/** A share and its standard error, in per cent. */
function share(count: number, jobs: number): string {
  const error = Math.sqrt((count * (1 - count)) / jobs)
  return `${(100 * count).toFixed(1)} ± ${(100 * error).toFixed(1)} %`
}

function row(name: string, { figures, overInVain, jobs }: Simulated): string {
  const { comesBack, handedOver, total } = figures
  const cells = [
    name,
    share(1 - comesBack.mean - handedOver.mean, jobs),
    share(comesBack.mean, jobs),
    share(handedOver.mean, jobs),
    share(handedOver.mean - overInVain, jobs),
    `${total.mean.toFixed(2)} ± ${total.error.toFixed(2)}`,
  ]
  return `| ${cells.join(" | ")} |`
}

function write(folder: string, jobs: number): void {
  const page = join(here, folder, "README.md")
  const read = (path: string) => (existsSync(path) ? readFileSync(path, "utf8") : undefined)
  const { model, graph } = compile(join(here, folder, `${folder}.ruleout`), read)
  if (!model || !graph) throw new Error(`${folder} does not compile`)
  const rows = worlds.map((world) => row(world.name, simulate(model, graph, seeded(SEED), jobs, world)))
  const table = [
    "| world | leaves whole | comes back | handed over | … and no part in vain | cost |",
    "|---|---:|---:|---:|---:|---:|",
    ...rows,
  ].join("\n")
  const text = readFileSync(page, "utf8")
  const marks = /(<!-- worlds -->\n)[\s\S]*?(<!-- \/worlds -->)/
  if (!marks.test(text)) throw new Error(`${page} lacks the marks <!-- worlds --> and <!-- /worlds -->`)
  writeFileSync(
    page,
    text.replace(
      marks,
      (_, from: string, to: string) => `${from}\n${jobs} machines of each world.\n\n${table}\n\n${to}`,
    ),
  )
  console.error(`${folder}:\n${rows.join("\n")}`)
}

if (process.argv[1]?.endsWith("write-worlds.ts")) {
  const words = process.argv.slice(2)
  const jobs = Number(words.find((word) => word.startsWith("--jobs="))?.slice(7) ?? 1000)
  const folders = words.filter((word) => !word.startsWith("--"))
  for (const folder of folders.length > 0 ? folders : Object.keys(drawn)) write(folder, jobs)
}
