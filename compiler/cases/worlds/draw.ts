/** What a machine has and shows, drawn by the chances of its world. */

import type { Action } from "../../run/action.ts"
import { wordsOf } from "../../run/acts.ts"
import type { Found, Graph } from "../../run/index.ts"
import type { CellIndex, FaultIndex, ReadingIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Confirmed } from "../record/case.ts"
import { readsOf } from "../record/graph-lookup.ts"
import type { MachineState, TrueMachine } from "../replay/true-machine.ts"
import { pick, type Random } from "./random.ts"
import type { World } from "./world.ts"

export function drawState({ faults, ...graph }: Graph, world: World, random: Random): Confirmed {
  const { unlisted = graph.unlisted } = world
  const second = faults.length < 2 ? 0 : (world.second ?? graph.second)
  const odds = faults.map((fault, f) => fault.odds * (world.odds?.[f] ?? 1))
  const kind = pick([1 - second - unlisted, second, unlisted], random)
  if (kind === 2) return { kind: "unlisted", name: "unlisted" }
  const drawFault = () => pick(odds, random) as FaultIndex
  let drawn = [drawFault()]
  // Drawn apart until they differ, a pair comes as often as the product of its odds.
  while (kind === 1 && (drawn.length < 2 || drawn[0] === drawn[1])) drawn = [drawFault(), drawFault()]
  return { kind: "faults", faults: drawn.sort((a, b) => a - b) }
}

export interface DrawnOutcome {
  /** As it is written down. */
  readonly found: Found
  readonly state: MachineState
}

/** What comes of an action, and the machine after it. */
export function drawOutcome(
  machine: TrueMachine,
  state: MachineState,
  action: Action,
  leaveIn: boolean,
  { misread = 0 }: World,
  random: Random,
): DrawnOutcome {
  const reads = action.do === "test" ? readsOf(machine.graph, action.test) : undefined
  if (reads) return drawReadings(machine, state, reads, misread, random)
  const words = wordsOf(action)
  const step = machine.step(state, action)
  const found = at(
    words,
    pick(
      words.map((word) => step.chance(word) ?? 0),
      random,
    ),
  )
  return { found, state: machine.after(state, action, found, leaveIn) }
}

/** One after the other: where it is uncertain whether something was cured, each tells of the next. */
function drawReadings(
  machine: TrueMachine,
  from: MachineState,
  reads: readonly ReadingIndex[],
  misread: number,
  random: Random,
): DrawnOutcome {
  const found: CellIndex[] = []
  let state = from
  for (const reading of reads) {
    const { told, cells } = at(machine.graph.readings, reading)
    const cell = pick(
      cells.map((_, c) => machine.cellChance(state, reading, c) ?? 0),
      random,
    ) as CellIndex
    state = machine.observed(state, [reading], [cell])
    const [slip, other] = [random(), random()]
    const isWrong = !told && slip < misread && cells.length > 1
    const wrong = (cell + 1 + Math.floor(other * (cells.length - 1))) % cells.length
    found.push(isWrong ? (wrong as CellIndex) : cell)
  }
  return { found, state }
}
