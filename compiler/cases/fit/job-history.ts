/** A record as actions of the runner, and what is known of one state of the machine after all of them. */

import { type Action, countingProofs, type Effect, effectOf, jobAfter } from "../../run/action.ts"
import { activeAt, type Hypothesis, type Job, startBelief } from "../../run/belief.ts"
import type { Graph, GraphModelRule } from "../../run/graph.ts"
import {
  type CellIndex,
  type FaultIndex,
  type ReadingIndex,
  type RuleIndex,
  tableOf,
} from "../../run/indexes.ts"
import { cellChance, holdChance, missChance, runOf } from "../../run/likelihood.ts"
import { at } from "../../run/lookup.ts"
import { type Machine, machineOf } from "../../run/machine.ts"
import { cured } from "../../run/outcomes.ts"
import type { Found } from "../../run/session-types.ts"
import type { CaseStep, Finding } from "../record/case.ts"
import type { CaseContent } from "./distinct-cases.ts"

export interface Event {
  readonly action: Action
  readonly found: Found
}

/** The machine of a graph for judging records: a shop may have fixed what the ruleset has no fix for. */
export function machineFor(graph: Graph, { withRules }: { readonly withRules: boolean }): Machine {
  const fix = graph.model.fix.map((work) => work ?? { minutes: 0, cost: 0, waits: 0 })
  const laws = withRules ? {} : { rules: tableOf<RuleIndex, GraphModelRule>([]), nevers: [] }
  return machineOf({ ...graph, model: { ...graph.model, fix, ...laws } })
}

/** What was done and found, told answers first; a test of which a reading is missing gives those that are there. */
export function eventsOf(machine: Machine, record: CaseContent): Event[] {
  return [
    ...record.told.map((finding) => toldEvent(machine, finding)),
    ...record.steps.flatMap((step) => stepEvents(machine, step)),
  ]
}

function toldEvent(machine: Machine, { reading, cell }: Finding): Event {
  const test = machine.tests.findIndex(({ kind, reads }) => kind === "told" && reads[0] === reading)
  return { action: test === -1 ? { do: "read", reading } : { do: "test", test }, found: [cell] }
}

function stepEvents(machine: Machine, step: CaseStep): Event[] {
  const { found } = step
  if (typeof found !== "string") {
    const reads = step.do === "test" ? at(machine.tests, step.test).reads : []
    const cells = reads.flatMap((reading) => found.find((each) => each.reading === reading)?.cell ?? [])
    if (step.do === "test" && cells.length === reads.length && cells.length === found.length)
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

/** The events with the jobs between them, which no number of the ruleset changes. */
export function pastOf(machine: Machine, record: CaseContent): Past[] {
  let { job } = startBelief(machine)
  return eventsOf(machine, record).map(({ action, found }) => {
    job = fittedFor(machine, job, action)
    const effect = effectOf(machine, job, action)
    const past = { action, found, job, effect }
    job =
      typeof found === "string"
        ? jobAfter(machine, job, action, effect, found)
        : withReadings(job, effect.reads, found)
    return past
  })
}

export interface History {
  /** Without those that could not have come out so in this state. */
  readonly events: readonly Past[]
  /** The state by when each of its faults was cured, with chances that add up to 1. */
  readonly hypotheses: readonly Hypothesis[]
}

/** `faults`: one or two in rising order; none for something not listed. `machine`: without rules. */
export function historyOf(machine: Machine, past: readonly Past[], faults: readonly FaultIndex[]): History {
  const [a = -1, b = -1] = faults
  const never = Number.POSITIVE_INFINITY
  let hypotheses: readonly Hypothesis[] = [{ a, b, curedA: never, curedB: never, weight: 1, acted: [] }]
  const events: Past[] = []
  for (const each of past) {
    // What is redone cures with the chances of this machine.
    const event =
      typeof each.found === "string" ? { ...each, effect: effectOf(machine, each.job, each.action) } : each
    const weighed = hypotheses.flatMap((h) => (h.weight > 0 ? after(machine, h, event) : []))
    const sum = weighed.reduce((all, { weight }) => all + weight, 0)
    if (!(sum > 0)) continue
    hypotheses = weighed.map((h) => ({ ...h, weight: h.weight / sum }))
    events.push(event)
  }
  return { events, hypotheses: hypotheses.filter(({ weight }) => weight > 0) }
}

/** A hypothesis weighed by an event, by what it cures. Rules are not looked at, and only what was found is. */
function after(machine: Machine, h: Hypothesis, { action, found, job, effect }: Past): Hypothesis[] {
  if (typeof found !== "string") {
    let { weight } = h
    effect.reads.forEach((reading, i) => {
      weight *= cellChance(machine, job, h, reading, at(found, i))
    })
    return [{ ...h, weight }]
  }
  if (action.do === "close") {
    const holds = holdChance(machine, job, h, runOf(machine, countingProofs(machine, job)))
    return [{ ...h, weight: h.weight * (found === "holds" ? holds : 1 - holds) }]
  }
  return cured(machine, job, h, effect, effect.redoes).flatMap(({ h: before, chance }) => {
    const gone =
      effect.tries === 0
        ? 1
        : missChance(machine, before, activeAt(machine, before, job.time + 1, effect.out)) ** effect.tries
    const came = found === "stays" ? 1 - gone : gone
    return cured(machine, job, before, {}, effect.redoesAfter).map((then) => ({
      ...then.h,
      weight: h.weight * chance * came * then.chance,
    }))
  })
}

/** The job after readings, as far as machine and rules look at it. */
export function withReadings(job: Job, reads: readonly ReadingIndex[], cells: readonly CellIndex[]): Job {
  const { time, fitted } = job
  const found = new Map(reads.map((reading, i) => [reading, { time, cell: at(cells, i), fitted }]))
  const taken = job.taken.map((before, reading) => {
    const now = found.get(reading)
    return now === undefined ? before : [...before, now]
  })
  return { ...job, time: time + 1, taken }
}

/** A record may leave out that a part was fitted which later came out or stayed in. */
export function fittedFor(machine: Machine, job: Job, action: Action): Job {
  if (action.do !== "putBack" && action.do !== "takeOut" && action.do !== "keep") return job
  if (job.fitted.has(action.part)) return job
  const test = machine.tests.findIndex(({ kind, parts }) => kind === "swaps" && parts.includes(action.part))
  return test === -1 ? job : { ...job, fitted: new Map([...job.fitted, [action.part, test] as const]) }
}
