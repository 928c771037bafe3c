/** The table of worlds, as cells: the terminal sets them in columns, a page as Markdown. */
import type { Graph } from "../../run/graph.ts"
import { countOf, fixedAmount, fixedPercent, grouped } from "../../wording/figures.ts"
import type { Mean } from "../stats/running-mean.ts"
import type { ShareOf, WorldFigures } from "./play-worlds.ts"

/** The first row is the head. The second is what the plan expects, to be held against the world as written. */
export function worldsTable({ expected, money }: Graph, worlds: readonly WorldFigures[]): string[][] {
  const { comesBack, handedOver, wasted, total } = expected
  const shares = [1 - comesBack - handedOver, comesBack, handedOver]
  return [
    [
      "world",
      "leaves whole",
      "comes back",
      "handed over",
      `in vain, ${money}`,
      `cost, ${money}`,
      "beyond the graph",
      "dead ends",
    ],
    [
      "as the plan expects",
      ...shares.map((share) => fixedPercent(share)),
      fixedAmount(wasted),
      fixedAmount(total),
    ],
    ...worlds.map((each) => [
      each.world,
      fixedPercent(each.whole.mean),
      fixedPercent(each.comesBack.mean),
      fixedPercent(each.handedOver.mean),
      fixedAmount(each.inVain.mean),
      withError(each.total),
      fixedPercent(each.beyond.mean),
      grouped(each.deadEnds),
    ]),
  ]
}

/** What becomes of the machines that are hardest for a plan, each kind in the world that has most of them. */
export function worldsNotes(worlds: readonly WorldFigures[]): string[] {
  const most = (kind: "two" | "unlisted") =>
    worlds.toSorted((a, b) => b[kind].machines - a[kind].machines).slice(0, 1)
  const note = (world: string, of: ShareOf, kind: string, what: string) =>
    of.machines === 0
      ? []
      : [`${world}: of ${countOf(of.machines, "machine")} ${kind}, ${shareWithError(of)} ${what}.`]
  return [
    ...most("two").flatMap(({ world, two }) => note(world, two, "with two faults", "leave whole")),
    ...most("unlisted").flatMap(({ world, unlisted }) =>
      note(world, unlisted, "with something not listed", "are handed over without a part bought in vain"),
    ),
  ]
}

/** A single job tells nothing of how far others are from it. */
function withError({ mean, error }: Mean): string {
  return Number.isNaN(error) ? fixedAmount(mean) : `${fixedAmount(mean)} ± ${fixedAmount(error)}`
}

/** `82.9 ± 5.9 %` */
function shareWithError({ mean, error }: Mean): string {
  const share = fixedPercent(mean)
  return Number.isNaN(error) ? share : share.replace(" %", ` ± ${fixedPercent(error)}`)
}
