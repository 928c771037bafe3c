/** Worlds that are not as the ruleset says: what machines have and show, beside its own percentages. */
import type { Graph } from "../../run/graph.ts"
import { TrueMachine } from "../replay/true-machine.ts"
import { seeded } from "./random.ts"

export interface World {
  readonly name: string
  /** By fault: what its odds are multiplied with. */
  readonly odds?: readonly number[]
  /** Chance that a reading is written down as one of its other cells. What is told has its `trust` already. */
  readonly misread?: number
  /** What the chance of each fault to show the complaint in a try is multiplied with. */
  readonly recurs?: number
  /** Shares of machines with two faults, and with something not listed; else as the ruleset has them. */
  readonly second?: number
  readonly unlisted?: number
}

/** As written, which is by the percentages alone: a machine knows nothing of rules; then one thing changed at a time. */
export function worldsOf({ faults }: Graph): World[] {
  const coin = seeded(3)
  return [
    { name: "as written" },
    { name: "odds off by three", odds: faults.map(() => (coin() < 0.5 ? 3 : 1 / 3)) },
    { name: "3 % misread", misread: 0.03 },
    { name: "complaint seen 0.7 as often", recurs: 0.7 },
    { name: "8 % with two faults", second: 0.08 },
    { name: "5 % not listed", unlisted: 0.05 },
  ]
}

/** The machines of a world, which differ from those of the ruleset in when they show the complaint. */
export function machinesOf(graph: Graph, as: TrueMachine, { recurs = 1 }: World): TrueMachine {
  if (recurs === 1) return as
  const { model } = graph
  return new TrueMachine({
    ...graph,
    model: { ...model, recurs: model.recurs.map((chance) => chance * recurs) },
  })
}
