/** A record as actions of the runner, and what is known of one state of the machine after all of them. */
import { type Action, type Effect, effectOf } from "../../run/action.ts"
import { type Belief, type Hypothesis, type Job, startBelief } from "../../run/belief.ts"
import type { Graph } from "../../run/graph.ts"
import { cellChance } from "../../run/likelihood.ts"
import { type Machine, machineOf } from "../../run/machine.ts"
import { after } from "../../run/outcomes.ts"
import type { Found } from "../../run/session-types.ts"
import type { Case, CaseStep, Finding } from "../record/case.ts"

export interface Event {
  readonly action: Action
  readonly found: Found
}

/** The machine of a graph for judging records: a shop may have fixed what the ruleset has no fix for. */
export function machineFor(graph: Graph, { withRules }: { readonly withRules: boolean }): Machine {
  const fix = graph.model.fix.map((work) => work ?? { minutes: 0, cost: 0, waits: 0 })
  const laws = withRules ? {} : { rules: [], nevers: [] }
  return machineOf({ ...graph, model: { ...graph.model, fix, ...laws } })
}

/** What was done and found, told answers first; a test of which a reading is missing gives those that are there. */
export function eventsOf(machine: Machine, record: Case): Event[] {
  return [
    ...record.told.map((finding) => toldEvent(machine, finding)),
    ...record.steps.flatMap((step) => stepEvents(machine, step)),
  ]
}

function toldEvent(machine: Machine, { reading, cell }: Finding): Event {
  const test = machine.tests.findIndex(({ kind, reads }) => kind === "told" && reads[0] === reading)
  return { action: test < 0 ? { do: "read", reading } : { do: "test", test }, found: [cell] }
}

function stepEvents(machine: Machine, step: CaseStep): Event[] {
  const { found } = step
  if (typeof found !== "string") {
    const reads = step.do === "test" ? machine.tests[step.test]!.reads : []
    const cells = reads.map((reading) => found.find((each) => each.reading === reading)?.cell ?? -1)
    if (step.do === "test" && cells.every((cell) => cell >= 0) && cells.length === found.length)
      return [{ action: { do: "test", test: step.test }, found: cells }]
    return found.map(({ reading, cell }) => ({ action: { do: "read", reading }, found: [cell] }))
  }
  if (step.do === "read") return []
  if (step.do !== "test") return [{ action: step, found }]
  return [{ action: { do: "test", test: step.test, leaveIn: step.leftIn === true }, found }]
}

/** An event with the job before it. */
export interface Past extends Event {
  readonly job: Job
  readonly effect: Effect
}

export interface History {
  /** Without those that could not have come out so in this state. */
  readonly events: readonly Past[]
  /** The state by when each of its faults was cured, with chances that add up to 1. */
  readonly hypotheses: readonly Hypothesis[]
}

/** `faults`: one or two in rising order; none for something not listed. `machine`: without rules. */
export function historyOf(machine: Machine, done: readonly Event[], faults: readonly number[]): History {
  const [a = -1, b = -1] = faults
  const never = Number.POSITIVE_INFINITY
  let hypotheses: readonly Hypothesis[] = [{ a, b, curedA: never, curedB: never, weight: 1, acted: [] }]
  let { job } = startBelief(machine)
  const events: Past[] = []
  for (const { action, found } of done) {
    job = fittedFor(machine, job, action)
    const effect = effectOf(machine, job, action)
    const next =
      typeof found === "string"
        ? after(machine, { job, hypotheses }, action, found)
        : afterReading(machine, { job, hypotheses }, effect.reads, found)
    if (next.hypotheses.length > 0) {
      events.push({ action, found, job, effect })
      hypotheses = next.hypotheses
    }
    job = next.job
  }
  return { events, hypotheses }
}

/** Readings change no machine, and no rule acts here: all that is left of `after` is their chance. */
function afterReading(
  machine: Machine,
  { job, hypotheses }: Belief,
  reads: readonly number[],
  cells: readonly number[],
): Belief {
  let sum = 0
  const weights = hypotheses.map((h) => {
    let { weight } = h
    for (const [i, reading] of reads.entries()) weight *= cellChance(machine, job, h, reading, cells[i]!)
    sum += weight
    return weight
  })
  const left =
    sum > 0
      ? hypotheses.flatMap((h, i) => (weights[i]! > 0 ? [{ ...h, weight: weights[i]! / sum }] : []))
      : []
  return { job: withReadings(job, reads, cells), hypotheses: left }
}

/** The job after readings, as far as machine and rules look at it. */
export function withReadings(job: Job, reads: readonly number[], cells: readonly number[]): Job {
  const taken = job.taken.slice()
  for (const [i, reading] of reads.entries())
    taken[reading] = [...taken[reading]!, { time: job.time, cell: cells[i]!, fitted: job.fitted }]
  return { ...job, time: job.time + 1, taken }
}

/** A record may leave out that a part was fitted which later came out or stayed in. */
export function fittedFor(machine: Machine, job: Job, action: Action): Job {
  if (action.do !== "putBack" && action.do !== "takeOut" && action.do !== "keep") return job
  if (job.fitted.has(action.part)) return job
  const test = machine.tests.findIndex(({ kind, parts }) => kind === "swaps" && parts.includes(action.part))
  return test < 0 ? job : { ...job, fitted: new Map([...job.fitted, [action.part, test] as const]) }
}
