/** Where the graph does not plan: the runner goes on from the model, as it does at the bench. Slow, and seldom needed. */
import type { Session } from "../../run/index.ts"
import type { Case } from "../record/case.ts"
import type { Track } from "./graph-index.ts"
import { type Ending, judge } from "./judge.ts"
import type { Trail, Walk } from "./walk.ts"

/** Ends at the latest when every test has been done and every part put back. */
export function advised(
  track: Track,
  record: Case,
  trail: Trail,
): { ending: Ending; open?: NonNullable<Walk["open"]> } {
  const { graph } = track
  const last = trail.edges.at(-1)
  let test = last === undefined ? -1 : testOf(track, last)
  let way = trail.edges.join(",")
  let session = known(track, way, () => sessionAt(track, trail.edges))
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
    const told = trail.known.step(next.test, putBack, trail.machine)
    if (told === undefined) {
      // Over all outcomes from here the runner would have to plan each anew.
      const ends = { remedy: 0, wrong: 0, handover: 0, unfollowed: 1 }
      return { ending: { kind: "open" }, open: { test: next.test, putBack, ends } }
    }
    trail.add(next.test, putBack, told)
    test = next.test
    way += `/${String(told.found)}`
    const before = session
    session = known(track, way, () => before.answer(told.found))
  }
}

/** Planning on takes the runner some milliseconds, and many jobs come the same way. */
const mostKept = 5000

const kept = new WeakMap<Track, Map<string, Session>>()

function known(track: Track, way: string, make: () => Session): Session {
  const sessions = kept.get(track) ?? new Map<string, Session>()
  kept.set(track, sessions)
  let session = sessions.get(way)
  if (session === undefined) {
    if (sessions.size >= mostKept) sessions.clear()
    session = make()
    sessions.set(way, session)
  }
  return session
}

function testOf({ graph, from }: Track, edge: number): number {
  const node = graph.nodes[from[edge]!]!
  return node.do === "test" ? node.test : -1
}

/** The runner's session where these edges of the graph lead. */
function sessionAt(track: Track, edges: readonly number[]): Session {
  const { graph } = track
  return edges.reduce((so, edge) => {
    const node = graph.nodes[track.from[edge]!]!
    const test = testOf(track, edge)
    const { part } = graph.model.tests[test]!
    // A part that goes back is called by its own name, as the runner wants it.
    const back = node.do === "test" && node.putBack && part !== undefined
    return so.find(back ? graph.places[part]!.name : graph.tests[test]!.name, track.edges[edge]!.cells)
  }, track.session)
}
