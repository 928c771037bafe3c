/**
 * What the confirmed fault does to the machine while it is worked on: the semantics of one hypothesis, said for the one
 * that was true. The chance that it is cured is carried along; the part that it sits in may be out.
 */
import type { Graph } from "../run/graph.ts"
import type { Truth } from "./case.ts"

export interface Machine {
  /** Chance that what was redone has cured the fault. */
  readonly cured: number
  /** A known-good part stands in for the faulty one. */
  readonly out: boolean
}

/** Does the machine have its fault now? As sure as the record allows. */
export type Status = "active" | "inactive" | "unsure"

export const untouched: Machine = { cured: 0, out: false }

const nearly = 1e-9

export function status(machine: Machine): Status {
  if (machine.out || machine.cured > 1 - nearly) return "inactive"
  return machine.cured < nearly ? "active" : "unsure"
}

/** One look for the complaint: the chance that it is gone (absent where nothing is known of the fault), and then what. */
export interface Look {
  readonly gone?: number
  readonly after: { readonly gone: Machine; readonly stays: Machine }
}

export function look(graph: Graph, truth: Truth, machine: Machine, test: number, putBack: boolean): Look {
  if (truth.known !== "listed")
    return { after: { gone: { cured: 0.5, out: machine.out }, stays: { cured: 0, out: machine.out } } }
  const { place } = graph.faults[truth.fault]!
  const work = graph.model.tests[test]!
  let cures = 0
  if (work.redoes) for (const [setup, chance] of work.redoes) if (setup === place) cures = chance
  const cured = machine.cured + (1 - machine.cured) * cures
  const out = work.part === place ? !putBack : machine.out
  const seen = 1 - (1 - graph.model.recurs[truth.fault]!) ** (work.tries ?? 1)
  const stays = out ? 0 : (1 - cured) * seen
  const gone = 1 - stays
  return {
    gone,
    after: {
      // Gone although it cannot be: something that the ruleset does not know of has cured it, for the time being.
      gone: { cured: out ? cured : gone < nearly ? 1 : cured / gone, out },
      // Still there, so nothing was cured, and a part fitted in this step is back out.
      stays: { cured: 0, out: putBack ? out : machine.out },
    },
  }
}

const owns = new WeakMap<Graph, (readonly number[] | undefined)[][]>()

/** By fault and reading: its own distribution, where it has one; made once for each graph. */
function ownOf(graph: Graph): (readonly number[] | undefined)[][] {
  let own = owns.get(graph)
  if (!own) {
    own = graph.model.shows.map((shows) => {
      const all: (readonly number[] | undefined)[] = graph.readings.map(() => undefined)
      for (const [reading, chances] of shows) all[reading] = chances
      return all
    })
    owns.set(graph, own)
  }
  return own
}

/** Chance of `cell` of a reading, told answers included, on this machine. Only for a listed fault. */
export function chanceOf(
  graph: Graph,
  fault: number,
  machine: Machine,
  reading: number,
  cell: number,
): number {
  const healthy = graph.model.healthy[reading]![cell]!
  const own = ownOf(graph)[fault]![reading]?.[cell] ?? healthy
  if (graph.readings[reading]!.told) return own
  const inactive = machine.out ? 1 : machine.cured
  return inactive * healthy + (1 - inactive) * own
}

/** Whether a reading tells the faulty machine from the healthy one. */
export function differs(graph: Graph, fault: number, reading: number): boolean {
  return ownOf(graph)[fault]![reading] !== undefined
}
