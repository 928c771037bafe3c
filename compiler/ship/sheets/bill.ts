import type { Graph } from "../../run/graph.ts"
import { type ActionStep, type Answer, type Entry, open, type Session } from "../../run/index.ts"
import { RestOfJob } from "./rest-of-job.ts"

/** What a job has cost the owner so far, and what it will have cost in the end. */
export interface Bill {
  readonly spent: number
  /** With what is to come, as is expected. */
  readonly expected: number
  /** Nine bills in ten are no higher; undefined where the graph doesn't plan, and only an estimate is known. */
  readonly high: number | undefined
  /** Minutes of waiting still to come; undefined likewise. */
  readonly waits: number | undefined
}

/** Bills of the jobs on one graph. */
export class Bills {
  readonly #graph: Graph
  readonly #rest: RestOfJob

  constructor(graph: Graph) {
    this.#graph = graph
    this.#rest = new RestOfJob(graph)
  }

  of(session: Session): Bill {
    const spent = spentIn(this.#graph, session.log)
    if (session.next.do === "end") return { spent, expected: spent, high: spent, waits: 0 }
    const rest = this.#rest.after(session.log)
    if (rest)
      return {
        spent,
        expected: spent + rest.bill.mean,
        high: spent + rest.bill.percentile(0.9),
        waits: rest.waits,
      }
    const { cost, handedOver } = session.outlook
    const expected = spent + Math.max(0, cost - handedOver * this.#graph.handover)
    return { spent, expected, high: undefined, waits: undefined }
  }
}

/** Money for the last job of a log: work, waiting and parts, at the minutes that were noted, else those of the ruleset. */
export function spentIn(graph: Graph, log: readonly Entry[]): number {
  let session = open(graph)
  let spent = 0
  for (const entry of log) {
    if ("cameBack" in entry) {
      session = session.cameBack()
      spent = 0
    } else if ("cannot" in entry) session = session.cannot(entry.cannot)
    else {
      const { act, found, minutes, leftIn } = entry
      const step = stepOf(session, JSON.stringify(act))
      if (step) {
        const longer = minutes === undefined ? 0 : minutes - step.minutes
        spent += step.cost + step.lookCost + (longer * graph.bench) / 60
      }
      const beside = {
        ...(minutes === undefined ? {} : { minutes }),
        ...(leftIn === undefined ? {} : { leftIn }),
      }
      session = session.find(act, found as Answer, beside)
    }
  }
  return spent
}

function stepOf({ next, steps }: Session, act: string): ActionStep | undefined {
  const isIt = (step: { readonly act: object }) => JSON.stringify(step.act) === act
  return "act" in next && isIt(next) ? next : steps.find(isIt)
}

/** Which of a job's figures passes what the owner wants to pay at most; undefined where none does. */
export function passes(
  { spent, expected, high }: Bill,
  limit: number,
): "spent" | "expected" | "high" | undefined {
  if (spent > limit) return "spent"
  if (expected > limit) return "expected"
  return high !== undefined && high > limit ? "high" : undefined
}
