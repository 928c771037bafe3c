/** How sturdy a ruleset is: what comes of its jobs where machines are not as it says. */
import type { Graph } from "../../run/graph.ts"
import { indexGraph } from "../replay/graph-index.ts"
import { type Mean, RunningMean } from "../stats/running-mean.ts"
import { type PlayedJob, playJob } from "./job.ts"
import { Advice } from "./job-path.ts"
import { generatorFor } from "./random.ts"
import { machinesOf, type World, worldsOf } from "./world.ts"

export interface WorldFigures {
  readonly world: string
  readonly jobs: number
  /** Shares of jobs. */
  readonly whole: Mean
  readonly comesBack: Mean
  readonly handedOver: Mean
  readonly beyond: Mean
  /** Money per job: all of it, and what was spent on parts in which nothing was wrong. */
  readonly total: Mean
  readonly inVain: Mean
  /** Jobs for which neither graph nor runner had an answer; there must be none. */
  readonly deadEnds: number
  /** Of the machines with two faults: the share that leaves whole. */
  readonly two: ShareOf
  /** Of the machines with something not listed: the share that is handed over without a part bought in vain. */
  readonly unlisted: ShareOf
}

/** A share of the machines of one kind; not a number where there were none. */
export interface ShareOf extends Mean {
  readonly machines: number
}

/** `progress`: told the share that is done, from time to time. */
export function playWorlds(
  graph: Graph,
  jobs: number,
  worlds: readonly World[] = worldsOf(graph),
  progress: (share: number) => void = () => {},
): WorldFigures[] {
  const index = indexGraph(graph)
  const advice = new Advice(index)
  return worlds.map((world, w) => {
    const machine = machinesOf(graph, index.trueMachine, world)
    const sums = new Sums()
    for (let job = 0; job < jobs; job++) {
      sums.add(playJob(advice, machine, world, generatorFor(job)))
      if (job % 20 === 0) progress((w + job / jobs) / worlds.length)
    }
    return sums.figures(world.name)
  })
}

class Sums {
  readonly #means = {
    whole: new RunningMean(),
    comesBack: new RunningMean(),
    handedOver: new RunningMean(),
    beyond: new RunningMean(),
    total: new RunningMean(),
    inVain: new RunningMean(),
  }
  readonly #two = new RunningMean()
  readonly #unlisted = new RunningMean()
  #deadEnds = 0

  add(job: PlayedJob): void {
    for (const [key, mean] of Object.entries(this.#means)) mean.add(Number(job[key as keyof PlayedJob]))
    const { confirmed, whole, handedOver, partsInVain } = job
    if (job.deadEnd) this.#deadEnds++
    if (confirmed.kind === "unlisted") this.#unlisted.add(partsInVain > 0 ? 0 : handedOver)
    else if (confirmed.kind === "faults" && confirmed.faults.length === 2) this.#two.add(whole)
  }

  figures(world: string): WorldFigures {
    const { whole, comesBack, handedOver, beyond, total, inVain } = this.#means
    return {
      world,
      jobs: whole.count,
      whole: whole.result,
      comesBack: comesBack.result,
      handedOver: handedOver.result,
      beyond: beyond.result,
      total: total.result,
      inVain: inVain.result,
      deadEnds: this.#deadEnds,
      two: shareOf(this.#two),
      unlisted: shareOf(this.#unlisted),
    }
  }
}

function shareOf({ count, result }: RunningMean): ShareOf {
  return { machines: count, ...result }
}
