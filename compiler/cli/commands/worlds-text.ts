/** `compile --worlds`: how sturdy a ruleset is where the world is not as it says. */
import { table } from "../../cases/report/text-table.ts"
import { playWorlds, type WorldFigures } from "../../cases/worlds/play-worlds.ts"
import { worldsNotes, worldsTable } from "../../cases/worlds/table.ts"
import type { Graph } from "../../run/graph.ts"
import { countOf, fixedPercent } from "../../wording/figures.ts"
import { ProgressLine, plain, style } from "../io/terminal.ts"

/** Jobs in each world where nothing else is asked for. */
export const USUAL_JOBS = 1000

export function playedWorlds(graph: Graph, jobs: number): WorldFigures[] {
  const progress = new ProgressLine()
  const figures = playWorlds(graph, jobs, undefined, (share) =>
    progress.show(`worlds: ${fixedPercent(share, 0)}`),
  )
  progress.clear()
  return figures
}

export function worldsText(graph: Graph, worlds: readonly WorldFigures[], color: boolean): string {
  const { bold, dim } = style(color)
  const [head = "", ...rows] = table(worldsTable(graph, worlds))
  return [
    bold(
      `If the world is not as written (${countOf(worlds[0]?.jobs ?? 0, "job")} in each, the same luck in all):`,
    ),
    dim(`  ${head}`),
    ...[...rows, ...worldsNotes(worlds)].map((line) => plain(`  ${line}`)),
    "",
  ].join("\n")
}
