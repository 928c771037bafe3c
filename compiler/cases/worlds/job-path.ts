/** What the bench does next: by the graph where it plans, else as the runner says from the model. */

import type { Action } from "../../run/action.ts"
import { actionOf, actOf } from "../../run/acts.ts"
import type { Act, Found, Session } from "../../run/index.ts"
import type { NodeIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { edgeFor, type GraphIndex } from "../replay/graph-index.ts"

/** `end`: neither has an answer, though the job is not over. */
export type Next = { readonly action: Action; readonly leaveIn: boolean } | "hand over" | "end"

/** What the runner said, by all that was found before: it takes a while to say, and many jobs go the same way. */
export class Advice {
  readonly index: GraphIndex
  readonly #said = new Map<string, Next>()

  constructor(index: GraphIndex) {
    this.index = index
  }

  at(way: string, session: () => Session): Next {
    let next = this.#said.get(way)
    if (next === undefined) {
      next = this.#saidBy(session())
      this.#said.set(way, next)
    }
    return next
  }

  /** Without what the bench needs to do it, which would be much to keep. */
  #saidBy(session: Session): Next {
    // The runner would also look for the finding that is at odds, which takes longer than all the rest.
    if (session.hypotheses.length === 0) return "hand over"
    const { next } = session
    if (next.do === "handover") return "hand over"
    if (next.do === "end") return "end"
    return { action: actionOf(this.index.trueMachine.machine, next.act), leaveIn: next.leaveIn }
  }
}

interface Entered {
  readonly act: Act
  readonly found: Found
  readonly leftIn: boolean
}

/** The path of one job: through the graph, and beyond it by the runner. */
export class JobPath {
  /** The job has left the graph. */
  beyond = false
  readonly #advice: Advice
  readonly #log: Entered[] = []
  #node: NodeIndex | undefined
  #key = ""
  #session: Session
  /** How much of the log the session knows. */
  #entered = 0

  constructor(advice: Advice) {
    this.#advice = advice
    this.#node = advice.index.graph.start
    this.#session = advice.index.session()
  }

  next(): Next {
    const { graph } = this.#advice.index
    const here = this.#node === undefined ? undefined : at(graph.nodes, this.#node)
    if (here?.do === "handover") return "hand over"
    if (here !== undefined && here.do !== "advise")
      return { action: here, leaveIn: here.edges.some(({ leaveIn }) => leaveIn) }
    this.#node = undefined
    this.beyond = true
    return this.#advice.at(this.#key, () => this.#caughtUp())
  }

  enter({ action, leaveIn }: Exclude<Next, string>, found: Found): void {
    const { index } = this.#advice
    this.#log.push({ act: actOf(index.trueMachine.machine, action), found, leftIn: leaveIn })
    this.#key += `/${String(found)}`
    if (this.#node === undefined) return
    this.#node = index.edges[edgeFor(index, this.#node, found)]?.to
    // No state fits there, as far as the graph was planned.
    if (this.#node === undefined && found !== "holds") this.beyond = true
  }

  #caughtUp(): Session {
    for (; this.#entered < this.#log.length; this.#entered++) {
      const { act, found, leftIn } = at(this.#log, this.#entered)
      this.#session = this.#session.find(act, found, { leftIn })
    }
    return this.#session
  }
}
