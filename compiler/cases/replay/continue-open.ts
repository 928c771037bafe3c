/** An open case carried on: over all outcomes that agree with what the record knows, each with its chance given the fault. */
import type { Case } from "../record/case.ts"
import { readsOf } from "../record/graph-lookup.ts"
import type { Evidence } from "./evidence.ts"
import { follow, type GraphIndex } from "./graph-index.ts"
import { judge } from "./judge.ts"
import { chanceOf, look, type Machine } from "./true-machine.ts"

/** Chances of the endings, of 1; `unfollowed` where the graph does not plan, or a branch was too unlikely to follow. */
export interface Ends {
  remedy: number
  wrong: number
  handover: number
  unfollowed: number
}

/** A branch with less chance than this is not followed. */
const negligible = 1e-4

const nearly = 1e-9

interface Arrival {
  readonly machine: Machine
  weight: number
}

/** Every node after all that lead to it, so that ways which meet in the same state are followed once. */
export function continueOpen(
  index: GraphIndex,
  record: Case,
  evidence: Evidence,
  node: number,
  machine: Machine,
): Ends {
  const { graph, rank, ranked } = index
  const ends: Ends = { remedy: 0, wrong: 0, handover: 0, unfollowed: 0 }
  const waiting: (Arrival[] | undefined)[] = []
  const arrive = (to: number, next: Machine, weight: number) => {
    const there = waiting[rank[to]!]
    if (there === undefined) {
      waiting[rank[to]!] = [{ machine: next, weight }]
      return
    }
    const same = there.find(({ machine: { cured, out } }) => cured === next.cured && out === next.out)
    if (same === undefined) there.push({ machine: next, weight })
    else same.weight += weight
  }
  arrive(node, machine, 1)
  for (let r = rank[node]!; r < waiting.length; r++) {
    const at = ranked[r]!
    const here = graph.nodes[at]!
    for (const { machine, weight } of waiting[r] ?? []) {
      if (here.do === "advise" || (here.do === "test" && weight < negligible)) ends.unfollowed += weight
      else if (here.do !== "test") {
        const ending = judge(graph, record, machine, here)
        ends[ending.kind === "handover" ? "handover" : ending.mends ? "remedy" : "wrong"] += weight
      } else {
        const told = evidence.step(here.test, here.putBack === true, machine)
        const edge = told && follow(index, at, told.found)
        if (told && edge! >= 0) arrive(index.edges[edge!]!.to, told.machine, weight)
        else if (told) ends.handover += weight
        else {
          let left = 1
          for (const branch of branches(index, record, evidence, at, machine)) {
            left -= branch.chance
            if (branch.chance > 0) arrive(branch.to, branch.machine, weight * branch.chance)
          }
          // What the fault may show and no edge waits for: no listed fault fits there.
          if (left > nearly) ends.handover += weight * left
        }
      }
    }
  }
  return ends
}

interface Branch {
  readonly to: number
  readonly chance: number
  readonly machine: Machine
}

/** Chances given the fault; the graph's own, among the edges that agree with the record, where no listed one is evidence. */
function branches(
  index: GraphIndex,
  record: Case,
  evidence: Evidence,
  node: number,
  machine: Machine,
): Branch[] {
  const { graph } = index
  const { truth } = record
  const here = graph.nodes[node]!
  if (here.do !== "test") return []
  const reads = readsOf(graph, here.test)
  const cells = reads?.map((reading) => evidence.cell(here.test, reading, machine)) ?? []
  const seen = reads ? undefined : look(graph, truth, machine, here.test, here.putBack === true)

  const found = here.edges.map((edge): Branch => {
    if (typeof edge.cells === "string") {
      const gone = seen?.gone
      const chance = gone === undefined ? edge.chance : edge.cells === "gone" ? gone : 1 - gone
      return { to: edge.to, chance, machine: seen?.after[edge.cells] ?? machine }
    }
    let chance = truth.known === "listed" ? 1 : edge.chance
    edge.cells.forEach((cell, i) => {
      if (cells[i]! >= 0) chance *= cell === cells[i] ? 1 : 0
      else if (truth.known === "listed") chance *= chanceOf(graph, truth.fault, machine, reads![i]!, cell)
    })
    return { to: edge.to, chance, machine }
  })
  if (truth.known === "listed") return found
  const sum = found.reduce((total, { chance }) => total + chance, 0)
  return sum > 0 ? found.map((branch) => ({ ...branch, chance: branch.chance / sum })) : []
}
