import type { Model } from "../../compiler/model/model.ts"
import type { Graph, GraphAction } from "../../compiler/run/graph.ts"
import { open, type Session, type Step } from "../../compiler/run/index.ts"
import {
  type Bench,
  type Came,
  drawMachine,
  drawn,
  type Machine,
  type World,
  written,
} from "./hidden-machine.ts"
import { type JobFigures, Shop } from "./job-figures.ts"
import type { Draw } from "./models.ts"

export interface Figure {
  readonly mean: number
  /** Standard error of the mean. */
  readonly error: number
}

export interface Simulated {
  readonly jobs: number
  readonly figures: { readonly [key in keyof JobFigures]: Figure }
  /** Share of jobs that left the compiled graph and were carried on by the runner. */
  readonly offGraph: number
  /** Share of jobs that were handed over because no state fits what was found. */
  readonly unexplained: number
  /** Share of jobs that were handed over after a part had been bought in vain. */
  readonly overInVain: number
  /** Share of jobs that neither graph nor runner had an answer for; there must be none. */
  readonly stuck: number
  /** Share of jobs whose machine the rules made impossible on the way, and that another one took over. */
  readonly replaced: number
}

const keys = [
  "tests",
  "parts",
  "repairs",
  "proof",
  "comebacks",
  "handover",
  "waiting",
  "minutes",
  "steps",
  "comesBack",
  "handedOver",
  "wasted",
] as const

/**
 * Draws machines and plays each of them through the compiled graph, with the runner where the graph leaves off. It
 * draws physical facts alone (what is wrong, what is read, what a try shows, what a redoing cures) and knows no chances
 * of what is wrong: those it is there to check.
 *
 * The runner takes far longer to answer than a graph. With `carriedOn` below 1 only that share of the jobs that leave the graph is
 * played to its end, and what they come to beyond it counts for the others: a mean is still what it would be with all of them, with
 * a larger error (Horvitz and Thompson, "A generalization of sampling without replacement from a finite universe", 1952).
 */
export function simulate(
  model: Model,
  graph: Graph,
  draw: Draw,
  jobs: number,
  world: World = written,
  carriedOn = 1,
): Simulated {
  const workshop = new Workshop(graph)
  const sums = new Map<string, { sum: number; squares: number }>()
  let [offGraph, unexplained, overInVain, stuck, replaced] = [0, 0, 0, 0, 0]
  for (let i = 0; i < jobs; i++) {
    const job = new Job(model, graph, workshop, draw, world, carriedOn)
    job.play()
    const { figures, left } = job
    for (const key of ["total", ...keys] as const) {
      const each = sums.get(key) ?? { sum: 0, squares: 0 }
      const figure = left === undefined ? figures[key] : left[key] + (figures[key] - left[key]) / carriedOn
      sums.set(key, { sum: each.sum + figure, squares: each.squares + figure ** 2 })
    }
    offGraph += job.offGraph ? 1 : 0
    const counts = job.offGraph ? 1 / carriedOn : 1
    unexplained += job.unexplained ? counts : 0
    overInVain += figures.handedOver > 0 && figures.wasted > 0 ? counts : 0
    stuck += job.stuck ? counts : 0
    replaced += job.replaced ? counts : 0
  }
  const figures = Object.fromEntries(
    [...sums].map(([key, { sum, squares }]) => {
      const mean = sum / jobs
      const variance = Math.max(0, squares / jobs - mean * mean)
      return [key, { mean, error: Math.sqrt(variance / jobs) }]
    }),
  ) as { [key in keyof JobFigures]: Figure }
  return {
    jobs,
    figures,
    offGraph: offGraph / jobs,
    unexplained: unexplained / jobs,
    overInVain: overInVain / jobs,
    stuck: stuck / jobs,
    replaced: replaced / jobs,
  }
}

/**
 * Figures that lie further from what is expected of them than so many standard errors. Of what is rare the error is the
 * one that its expected chance has, since a few hundred jobs may not meet it at all.
 */
export function disagreements(
  { jobs, figures }: Simulated,
  { expected, handover, comeback }: Graph,
  errors = 4,
): string[] {
  const rare = { comesBack: 1, handedOver: 1, comebacks: comeback, handover }
  const chances = {
    comesBack: "comesBack",
    handedOver: "handedOver",
    comebacks: "comesBack",
    handover: "handedOver",
  } as const
  return (["total", ...keys] as const).flatMap((key) => {
    const { mean, error } = figures[key]
    const chance = key in rare ? expected[chances[key as keyof typeof rare]] : 0
    const least = key in rare ? rare[key as keyof typeof rare] * Math.sqrt((chance * (1 - chance)) / jobs) : 0
    // A single job of something this rare is no disagreement yet.
    const single = key in rare && chance * jobs < 1 ? rare[key as keyof typeof rare] / jobs : 0
    const room = errors * Math.max(error, least) + single + 1e-9
    return Math.abs(mean - expected[key]) <= room
      ? []
      : [`${key}: ${mean} ± ${error} drawn, ${expected[key]} expected`]
  })
}

type Found = readonly number[] | "gone" | "stays" | "holds" | "fails" | "done"

/** What jobs share: the answers of the runner, which take it a while, and which machines the rules leave nothing of. */
class Workshop {
  /** Machines, with what is done to them, that were found to leave nothing: most of the time goes into finding that. */
  readonly #impossible = new Set<string>()
  readonly #answers = new Map<string, Step>()

  constructor(readonly graph: Graph) {}

  /** What the runner says after these steps; it is only made to think where nobody came this way before. */
  next(log: readonly Logged[], session: () => Session): Step {
    const key = log.map(({ action, on, leaveIn }) => `${Object.values(action)}:${on}:${leaveIn}`).join("|")
    const before = this.#answers.get(key)
    if (before) return before
    const { next } = session()
    this.#answers.set(key, next)
    return next
  }

  /** What comes of an action on this machine, if anything can. */
  come(
    model: Model,
    bench: Bench,
    machine: Machine,
    { action, leaveIn }: Pick<Logged, "action" | "leaveIn">,
    draw: Draw,
    world: World,
  ): Came | undefined {
    const { faults, cured, readings, activeAt, struckBy } = machine
    const standing = [cured, readings, activeAt, struckBy, bench.fitted, bench.findings]
    const [what, which] = Object.values(action)
    const key = `${faults}|${standing.map((each) => [...each].sort().join()).join("|")}|${what}${which}${leaveIn}`
    if (this.#impossible.has(key)) return undefined
    const came = drawn(model, bench, machine, action, leaveIn, draw, world)
    if (came === undefined) this.#impossible.add(key)
    return came
  }

  act(action: GraphAction) {
    const { tests, places, faults } = this.graph
    if (action.do === "test") return { test: tests[action.test]!.name }
    if (action.do === "fix") return { fix: faults[action.fault]!.name }
    if (action.do === "look") return { look: true as const }
    if (action.do === "close") return { close: true as const }
    const part = places[action.part]!.name
    if (action.do === "takeOut") return { takeOut: part }
    if (action.do === "putBack") return { putBack: part }
    return action.do === "keep" ? { keep: part } : { replace: part }
  }
}

interface Logged {
  readonly action: GraphAction
  readonly on: Found
  readonly leaveIn: boolean
}

/** Machines that are tried out to find one that would have come the same way. */
const REPLACEMENTS = 20_000

class Job {
  readonly shop: Shop
  offGraph = false
  unexplained = false
  stuck = false
  replaced = false
  /** What was spent when the graph left off. */
  left: JobFigures | undefined
  #machine: Machine
  readonly #log: Logged[] = []
  #session: Session | undefined
  /** How much of the log the session knows. */
  #entered = 0

  readonly #model: Model
  readonly #graph: Graph
  readonly #workshop: Workshop
  readonly #draw: Draw
  readonly #world: World
  readonly #carriedOn: number

  constructor(model: Model, graph: Graph, workshop: Workshop, draw: Draw, world: World, carriedOn: number) {
    this.#model = model
    this.#graph = graph
    this.#workshop = workshop
    this.#draw = draw
    this.#world = world
    this.#carriedOn = carriedOn
    this.shop = new Shop(model)
    this.#machine = drawMachine(model, draw, world)
  }

  get figures(): JobFigures {
    const { figures } = this.shop
    const { tests, parts, repairs, proof, comebacks, handover, waiting } = figures
    return { ...figures, total: tests + parts + repairs + proof + comebacks + handover + waiting }
  }

  play(): void {
    let node: number | undefined = this.#graph.start
    for (let step = 0; step < 300; step++) {
      const todo: Todo | undefined = this.#todo(node)
      if (todo === undefined) return
      const on = this.#perform(todo)
      if (on === undefined || on === "holds") return
      node = node === undefined ? undefined : todo.to(on)
      if (node === undefined && !this.offGraph && !this.#leaveGraph()) return
    }
    this.stuck = true
  }

  /** Whether the job is carried on beyond the graph. */
  #leaveGraph(): boolean {
    this.offGraph = true
    this.left = this.figures
    return this.#carriedOn === 1 || this.#draw.int(1, 1000) <= this.#carriedOn * 1000
  }

  /** By the graph, else by the runner; undefined at the end of the job. */
  #todo(node: number | undefined): Todo | undefined {
    const step = node === undefined ? undefined : this.#graph.nodes[node]!
    if (step === undefined) return this.#advised()
    if (step.do === "advise") return this.offGraph || this.#leaveGraph() ? this.#advised() : undefined
    if (step.do === "handover") {
      this.shop.handOver()
      return undefined
    }
    const leaveIn = step.edges.some((edge) => edge.on === "stays" && edge.leaveIn)
    const to = (on: Found) => step.edges.find((edge) => `${edge.on}` === `${on}`)?.to
    return { action: step, leaveIn, cost: step.cost, to }
  }

  #advised(): Todo | undefined {
    const next = this.#workshop.next(this.#log, () => this.#caughtUp())
    if (next.do === "handover") {
      this.unexplained = !next.fits
      this.shop.handOver()
      return undefined
    }
    if (next.do === "end") {
      this.stuck = true
      return undefined
    }
    return { action: next, leaveIn: next.leaveIn, cost: undefined, to: () => undefined }
  }

  #caughtUp(): Session {
    let session = this.#session ?? open(this.#graph)
    for (const { action, on, leaveIn } of this.#log.slice(this.#entered))
      session = session.find(this.#workshop.act(action), on, { leftIn: leaveIn })
    this.#entered = this.#log.length
    this.#session = session
    return session
  }

  /** Does it to the machine, and counts what it takes. */
  #perform({ action, leaveIn, cost }: Todo): Found | undefined {
    const spent = this.shop.charge(action)
    if (cost !== undefined && Math.abs(cost - spent) > 1e-6) {
      throw new Error(`the graph says ${cost} for a step that takes ${spent}: ${JSON.stringify(action)}`)
    }
    if (action.do === "keep" || action.do === "replace") this.shop.bought(action.part, this.#machine)
    const model = this.#model
    const draw = this.#draw
    const world = this.#world
    const came = this.#workshop.come(model, this.shop.bench, this.#machine, { action, leaveIn }, draw, world)
    const result = came ?? this.#replace(action, leaveIn)
    if (result === undefined) {
      this.stuck = true
      return undefined
    }
    this.#machine = result.machine
    this.shop.bench = result.bench
    this.shop.looked(action, result.tries)
    if (result.on === "holds") this.shop.closed(this.#machine)
    this.#log.push({ action, on: result.on, leaveIn })
    return result.on
  }

  /**
   * Rules that leave this machine nothing take it out of the sums, and the others that came the same way stand for it
   * from here on: so another is drawn that comes the same way.
   */
  #replace(action: GraphAction, leaveIn: boolean) {
    this.replaced = true
    const model = this.#model
    const draw = this.#draw
    const world = this.#world
    for (let i = 0; i < REPLACEMENTS; i++) {
      let machine: Machine | undefined = drawMachine(model, draw, world)
      let bench = new Shop(model).bench
      for (const logged of this.#log) {
        const came = this.#workshop.come(model, bench, machine, logged, draw, world)
        machine = came && `${came.on}` === `${logged.on}` ? came.machine : undefined
        if (machine === undefined) break
        bench = came!.bench
      }
      if (machine === undefined) continue
      const came = this.#workshop.come(model, bench, machine, { action, leaveIn }, draw, world)
      if (came) return came
    }
    return undefined
  }
}

interface Todo {
  readonly action: GraphAction
  readonly leaveIn: boolean
  /** As the graph has it. */
  readonly cost: number | undefined
  readonly to: (on: Found) => number | undefined
}
