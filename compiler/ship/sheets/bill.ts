import { checkGraph } from "../../run/check.ts"
import type { Graph } from "../../run/graph.ts"
import { type Machine, machineOf } from "../../run/machine.ts"
import { afterEntry } from "../../run/reopen.ts"
import { sessionOf } from "../../run/session.ts"
import type { Done, Entry, Session } from "../../run/session-types.ts"
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
  readonly #machine: Machine
  readonly #rest: RestOfJob

  constructor(graph: Graph) {
    this.#machine = machineOf(checkGraph(graph))
    this.#rest = new RestOfJob(graph, this.#machine)
  }

  of(session: Session): Bill {
    const spent = spentIn(this.#machine, session.log)
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
    const expected = spent + Math.max(0, cost - handedOver * this.#machine.handover)
    return { spent, expected, high: undefined, waits: undefined }
  }
}

/** Money for the last job of a log: work, waiting and parts, at the minutes that were noted, else those of the ruleset. */
export function spentIn(m: Machine, log: readonly Entry[]): number {
  let session = sessionOf(m, [])
  let spent = 0
  for (const entry of log) {
    if ("cameBack" in entry) spent = 0
    else if ("act" in entry) spent += costOf(m, session, entry)
    session = afterEntry(m, session, entry)
  }
  return spent
}

/** From what can be done, and never from what is next: off the plan the next step is searched for. */
function costOf({ bench }: Machine, { steps }: Session, { act, minutes }: Done): number {
  const done = JSON.stringify(act)
  const step = steps.find((each) => JSON.stringify(each.act) === done)
  if (step === undefined) return 0
  const longer = minutes === undefined ? 0 : minutes - step.minutes
  return step.cost + step.lookCost + (longer * bench) / 60
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
