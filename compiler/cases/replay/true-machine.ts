/**
 * What the confirmed fault does to the machine while it is worked on: the semantics of one hypothesis, said for the one
 * that was true. The chance that it is cured is carried along; the part that it sits in may be out.
 */
import type { Graph } from "../../run/graph.ts"
import type { Truth } from "../record/case.ts"

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
  const gone = goneChance(graph, truth, machine, test, putBack)
  return {
    ...(gone === undefined ? {} : { gone }),
    after: {
      gone: afterLook(graph, truth, machine, test, putBack, "gone"),
      stays: afterLook(graph, truth, machine, test, putBack, "stays"),
    },
  }
}

function curedBy(graph: Graph, fault: number, { cured }: Machine, test: number): number {
  const { redoes } = graph.model.tests[test]!
  const { place } = graph.faults[fault]!
  let cures = 0
  if (redoes) for (const [setup, chance] of redoes) if (setup === place) cures = chance
  return cured + (1 - cured) * cures
}

function outDuring(graph: Graph, fault: number, { out }: Machine, test: number, putBack: boolean): boolean {
  return graph.model.tests[test]!.part === graph.faults[fault]!.place ? !putBack : out
}

/** The chance that the complaint is gone after this step; undefined where no listed fault is known. */
export function goneChance(
  graph: Graph,
  truth: Truth,
  machine: Machine,
  test: number,
  putBack: boolean,
): number | undefined {
  if (truth.known !== "listed") return undefined
  const { fault } = truth
  if (outDuring(graph, fault, machine, test, putBack)) return 1
  const seen = 1 - (1 - graph.model.recurs[fault]!) ** (graph.model.tests[test]!.tries ?? 1)
  return 1 - (1 - curedBy(graph, fault, machine, test)) * seen
}

/** The machine after a look that came out so. */
export function afterLook(
  graph: Graph,
  truth: Truth,
  machine: Machine,
  test: number,
  putBack: boolean,
  found: "gone" | "stays",
): Machine {
  if (truth.known !== "listed") return { cured: found === "gone" ? 0.5 : 0, out: machine.out }
  const { fault } = truth
  const out = outDuring(graph, fault, machine, test, putBack)
  if (found === "stays") {
    // Still there, so nothing was cured, and a part fitted in this step is back out.
    const stays = putBack ? out : machine.out
    return stays ? { cured: 0, out: true } : untouched
  }
  const cured = curedBy(graph, fault, machine, test)
  if (out) return { cured, out }
  const gone = goneChance(graph, truth, machine, test, putBack)!
  // Gone although it cannot be: something that the ruleset does not know of has cured it, for the time being.
  return { cured: gone < nearly ? 1 : cured / gone, out }
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
