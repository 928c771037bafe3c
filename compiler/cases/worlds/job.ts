/** One job, played from intake to its end. */
import type { Confirmed } from "../record/case.ts"
import { Account } from "../replay/spending.ts"
import type { TrueMachine } from "../replay/true-machine.ts"
import { drawOutcome, drawState } from "./draw.ts"
import { type Advice, JobPath } from "./job-path.ts"
import type { Random } from "./random.ts"
import type { World } from "./world.ts"

export interface PlayedJob {
  readonly confirmed: Confirmed
  /** Chances of the ways to end, which are drawn no further than that; none of a dead end. */
  readonly whole: number
  readonly comesBack: number
  readonly handedOver: number
  /** Money, comeback and handing over included. */
  readonly total: number
  /** Money for parts in which nothing was wrong. */
  readonly inVain: number
  /** How many parts that were. */
  readonly partsInVain: number
  /** The graph did not plan that far: the runner went on from the model. */
  readonly beyond: boolean
  readonly deadEnd: boolean
}

/** No job is that long: one that gets there goes round in a circle. */
const MOST_STEPS = 300

export function playJob(advice: Advice, machine: TrueMachine, world: World, random: Random): PlayedJob {
  const { graph } = machine
  const confirmed = drawState(graph, world, random)
  const account = new Account(machine, confirmed)
  const way = new JobPath(advice)
  let state = machine.start(confirmed)
  const ended = (kind: "closed" | "handed over" | "dead end"): PlayedJob => {
    const whole = kind === "closed" ? state.whole : 0
    const comesBack = kind === "closed" ? 1 - state.whole : 0
    const handedOver = kind === "handed over" ? 1 : 0
    const { money, inVain, inVainMoney } = account.total
    return {
      confirmed,
      whole,
      comesBack,
      handedOver,
      total: money + comesBack * graph.comeback + handedOver * graph.handover,
      inVain: inVainMoney,
      partsInVain: inVain,
      beyond: way.beyond,
      deadEnd: kind === "dead end",
    }
  }
  for (let step = 0; step < MOST_STEPS; step++) {
    const next = way.next()
    if (next === "hand over") return ended("handed over")
    if (next === "end") break
    const { action, leaveIn } = next
    const came = drawOutcome(machine, state, action, leaveIn, world, random)
    account.spend(state, action, came.found, undefined)
    state = came.state
    if (came.found === "holds") return ended("closed")
    way.enter(next, came.found)
  }
  return ended("dead end")
}
