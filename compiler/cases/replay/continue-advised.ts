/** Where the graph does not plan: the runner goes on from the model, as it does at the bench. Slow, and seldom needed. */
import type { Session } from "../../run/index.ts"
import type { Case } from "../record/case.ts"
import type { GraphIndex } from "./graph-index.ts"
import { type Ending, judge } from "./judge.ts"
import type { Trail, Walk } from "./trail.ts"

/** Ends at the latest when every test has been done and every part put back. */
export function continueAdvised(
  index: GraphIndex,
  record: Case,
  trail: Trail,
): { ending: Ending; open?: NonNullable<Walk["open"]> } {
  const { graph } = index
  const last = trail.edges.at(-1)
  let test = last === undefined ? -1 : testOf(index, last)
  let way = trail.edges.join(",")
  let session = keptSession(index, way, () => sessionAt(index, trail.edges))
  for (;;) {
    const { next } = session
    if (next.do !== "test") {
      const candidates = session.candidates.filter(({ chance }) => chance > 0)
      if (next.do === "verdict")
        return {
          ending: judge(graph, record, trail.machine, {
            do: "verdict",
            remedy: next.remedy,
            chance: next.chance,
            candidates,
          }),
        }
      if (candidates.length === 0 && test >= 0)
        return { ending: { kind: "handover", candidates, noneFits: test, listed: false } }
      return { ending: judge(graph, record, trail.machine, { do: "handover", candidates }) }
    }
    const putBack = next.putBack !== undefined
    const step = trail.evidence.step(next.test, putBack, trail.machine)
    if (step === undefined) {
      // Over all outcomes from here the runner would have to plan each anew.
      const ends = { remedy: 0, wrong: 0, handover: 0, unfollowed: 1 }
      return { ending: { kind: "open" }, open: { test: next.test, putBack, ends } }
    }
    trail.add(next.test, putBack, step)
    test = next.test
    way += `/${String(step.found)}`
    const before = session
    session = keptSession(index, way, () => before.answer(step.found))
  }
}

/** Planning on takes the runner some milliseconds, and many jobs come the same way. */
const mostKept = 5000

const kept = new WeakMap<GraphIndex, Map<string, Session>>()

function keptSession(index: GraphIndex, way: string, make: () => Session): Session {
  const sessions = kept.get(index) ?? new Map<string, Session>()
  kept.set(index, sessions)
  let session = sessions.get(way)
  if (session === undefined) {
    if (sessions.size >= mostKept) sessions.clear()
    session = make()
    sessions.set(way, session)
  }
  return session
}

function testOf({ graph, from }: GraphIndex, edge: number): number {
  const node = graph.nodes[from[edge]!]!
  return node.do === "test" ? node.test : -1
}

/** The runner's session where these edges of the graph lead. */
function sessionAt(index: GraphIndex, edges: readonly number[]): Session {
  const { graph } = index
  return edges.reduce((so, edge) => {
    const node = graph.nodes[index.from[edge]!]!
    const test = testOf(index, edge)
    const { part } = graph.model.tests[test]!
    // A part that goes back is called by its own name, as the runner wants it.
    const back = node.do === "test" && node.putBack && part !== undefined
    return so.find(back ? graph.places[part]!.name : graph.tests[test]!.name, index.edges[edge]!.cells)
  }, index.session)
}
