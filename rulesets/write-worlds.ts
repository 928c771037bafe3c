/**
 * Writes into each ruleset's page, between the two `worlds` marks, what `ruleout compile --worlds` says of it: what becomes of
 * machines that are not as the ruleset has them. `npx tsx rulesets/write-worlds.ts [--jobs=N] [FOLDER…]`; the more jobs, the smaller the
 * errors, and the longer it takes. `write-figures.ts --jobs=N` does it along with the figures, from the same plan.
 */
import { readFileSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { playWorlds } from "../compiler/cases/worlds/play-worlds.ts"
import { worldsNotes, worldsTable } from "../compiler/cases/worlds/table.ts"
import type { World } from "../compiler/cases/worlds/world.ts"
import type { Graph } from "../compiler/compile.ts"
import { countOf } from "../compiler/wording/figures.ts"
import { drawn } from "./generate-cases.ts"
import { compiledFrom, fileOf } from "./read-model.ts"

const here = import.meta.dirname

/** Of the hardest machines a world has a few; so each kind is played by itself as well, a machine for every second job. */
const hardest: readonly World[] = [
  { name: "Drawn for this alone", second: 1, unlisted: 0 },
  { name: "Drawn for this alone", second: 0, unlisted: 1 },
]
const JOBS_PER_HARD_ONE = 2

/** What a page gets that has no such table yet, below its figures. */
const EMPTY = `## In other worlds

What \`ruleout compile --worlds\` says, written by \`npx tsx rulesets/write-worlds.ts\`: machines drawn and played through the plan, in
the world as the ruleset is written and in worlds that are not. Beside the cost stands its standard error.

<!-- worlds -->

<!-- /worlds -->`

/** A page with its table of worlds written anew. */
export function withWorlds(page: string, graph: Graph, jobs: number): string {
  const marks = /(<!-- worlds -->\n)[\s\S]*?(<!-- \/worlds -->)/
  const below = "<!-- /figures -->"
  const prepared = marks.test(page) ? page : page.replace(below, `${below}\n\n${EMPTY}`)
  if (!marks.test(prepared)) throw new Error(`the page has neither <!-- worlds --> nor ${below}`)
  const written = section(graph, jobs)
  return prepared.replace(marks, (_, from: string, to: string) => `${from}\n${written}\n\n${to}`)
}

function section(graph: Graph, jobs: number): string {
  const worlds = playWorlds(graph, jobs)
  const [head = [], ...rows] = worldsTable(graph, worlds)
  const line = (cells: readonly string[]) => `| ${head.map((_, c) => cells[c] ?? "").join(" | ")} |`
  const rule = line(head.map((_, c) => (c === 0 ? "---" : "---:")))
  return [
    `${countOf(jobs, "job")} in each world, the same luck in all.`,
    [line(head), rule, ...rows.map(line)].join("\n"),
    ...worldsNotes(playWorlds(graph, Math.ceil(jobs / JOBS_PER_HARD_ONE), hardest)),
  ].join("\n\n")
}

function write(folder: string, jobs: number): void {
  const page = join(here, folder, "README.md")
  const { graph } = compiledFrom(fileOf(folder))
  if (!graph) throw new Error(`${folder} does not compile`)
  writeFileSync(page, withWorlds(readFileSync(page, "utf8"), graph, jobs))
  console.error(`${folder}: ${countOf(jobs, "job")} in each world`)
}

/** `--jobs=N`; undefined where it is not said. */
export function jobsIn(words: readonly string[]): number | undefined {
  const jobs = words.find((word) => word.startsWith("--jobs="))?.slice(7)
  return jobs === undefined ? undefined : Number(jobs)
}

if (process.argv[1]?.endsWith("write-worlds.ts")) {
  const words = process.argv.slice(2)
  const folders = words.filter((word) => !word.startsWith("--"))
  for (const folder of folders.length > 0 ? folders : Object.keys(drawn)) write(folder, jobsIn(words) ?? 1000)
}
