/** Where the graph does not plan: the runner goes on from the model, as it does at the bench. Slow, and seldom needed. */
import type { Case } from "./case.ts"
import { type Ending, judge } from "./judge.ts"
import type { Track } from "./track.ts"
import type { Trail, Walk } from "./walk.ts"

/** Ends at the latest when every test has been done and every part put back. */
export function advised(
  track: Track,
  record: Case,
  trail: Trail,
): { ending: Ending; open?: NonNullable<Walk["open"]> } {
  const { graph } = track
  // A part that goes back is called by its own name, as the runner wants it.
  const nameOf = (test: number, putBack: boolean) => {
    const { part } = graph.model.tests[test]!
    return putBack && part !== undefined ? graph.places[part]!.name : graph.tests[test]!.name
  }
  let last = -1
  let session = trail.edges.reduce((so, number) => {
    const node = graph.nodes[track.from[number]!]!
    if (node.do !== "test") return so
    last = node.test
    return so.find(nameOf(node.test, node.putBack === true), track.edges[number]!.cells)
  }, track.session)
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
      if (candidates.length === 0 && last >= 0)
        return { ending: { kind: "handover", candidates, noneFits: last, listed: false } }
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
    last = next.test
    session = session.answer(told.found)
  }
}
