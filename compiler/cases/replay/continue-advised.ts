/** Where the graph does not plan: the runner goes on from the model, as it does at the bench. Slow, and seldom needed. */

import type { Action } from "../../run/action.ts"
import { actionOf, actOf } from "../../run/acts.ts"
import type { Candidate, Found, Session } from "../../run/index.ts"
import { at } from "../../run/lookup.ts"
import { noEnds, nothingAhead } from "./ends.ts"
import type { GraphIndex } from "./graph-index.ts"
import { closedWith, type Ending, handedOver } from "./judge.ts"
import type { Trail, Walk } from "./trail.ts"

/** Ends at the latest when everything that may be done has been done. */
export function continueAdvised(
  trail: Trail,
  sessions: AdvisedSessions,
): { readonly ending: Ending; readonly open?: NonNullable<Walk["open"]> } {
  const { record } = trail
  let { session, way } = sessions.afterEdges(trail.edges)
  for (;;) {
    const { next } = session
    if (next.do === "end") {
      const { closed } = next
      return { ending: closed ? closedWith(trail.state) : handedOver(record, candidatesOf(session)) }
    }
    if (next.do === "handover") return { ending: handedOver(record, candidatesOf(session)) }
    const action = actionOf(sessions.index.trueMachine.machine, next.act)
    const outcome = trail.evidence.outcome(action, trail.state, true)
    if (outcome === undefined) {
      // Over all outcomes from here the runner would have to plan each anew.
      const ends = { ...noEnds(), notFollowed: 1 }
      const open = { ...nothingAhead(), ends, toGo: session.outlook.cost, action }
      return { ending: { kind: "open" }, open }
    }
    const { found, inferred } = outcome
    trail.add(action, found, { leftIn: next.leaveIn, inferred })
    way += `/${String(found)}`
    const before = session
    session = sessions.at(way, () => before.answer(found))
  }
}

/** Planning on takes the runner some milliseconds, and many jobs come the same way. */
const MOST_KEPT = 5000

export class AdvisedSessions {
  readonly index: GraphIndex
  readonly #kept = new Map<string, Session>()

  constructor(index: GraphIndex) {
    this.index = index
  }

  at(way: string, make: () => Session): Session {
    let session = this.#kept.get(way)
    if (session === undefined) {
      if (this.#kept.size >= MOST_KEPT) this.#kept.clear()
      session = make()
      this.#kept.set(way, session)
    }
    return session
  }

  /** The runner's session where these edges of the graph lead. */
  afterEdges(edges: readonly number[]): { readonly session: Session; readonly way: string } {
    const way = edges.join()
    return { way, session: this.at(way, () => sessionAfter(this.index, edges)) }
  }
}

export function sessionAfter(index: GraphIndex, edges: readonly number[]): Session {
  return edges.reduce((session, number) => {
    // An edge begins at a node that does something.
    const node = at(index.graph.nodes, at(index.from, number)) as Action
    const { on, leaveIn = false } = at(index.edges, number)
    return session.find(actOf(index.trueMachine.machine, node), on as Found, { leftIn: leaveIn })
  }, index.session())
}

function candidatesOf({ candidates }: Session): Candidate[] {
  return candidates
    .filter(({ present }) => present > 0)
    .map(({ fault, present, active }) => ({ ...(fault === undefined ? {} : { fault }), present, active }))
}
