/** Plays scenarios on a compiled graph with the runner: what was expected and isn't so. */

import type { Span } from "../../diagnostics/diagnostic.ts"
import type { FaultIs, Scenario, ScenarioStep } from "../../model/scenario.ts"
import { type Act, type Entry, type Graph, open, RunError, type Session, type Step } from "../../run/index.ts"
import { at, last, lookUp } from "../../run/lookup.ts"
import { percent } from "../../wording/figures.ts"
import { backticked } from "../../wording/sentence.ts"

export interface Failure {
  readonly span: Span
  readonly message: string
}

export interface Played {
  readonly scenario: Scenario
  readonly failures: readonly Failure[]
  /** What was done and found, as far as it could be. */
  readonly log: readonly Entry[]
}

type Expectation = Extract<ScenarioStep, { kind: `expects ${string}` }>
type Deed = Exclude<ScenarioStep, Expectation>

/** Each from the beginning of a job. */
export function playAll(graph: Graph, scenarios: readonly Scenario[]): Played[] {
  const start = open(graph)
  return scenarios.map((scenario) => play(start, scenario))
}

/** `start`: the session with nothing found yet. Where something can't be done, the scenario ends there. */
export function play(start: Session, scenario: Scenario): Played {
  const failures: Failure[] = []
  let session = start
  for (const { deeds, expectations } of stages(scenario.steps)) {
    try {
      session = after(session, deeds)
    } catch (error) {
      if (!(error instanceof ImpossibleStep)) throw error
      failures.push({ span: error.step.span, message: error.message })
      break
    }
    for (const each of expectations) {
      const message = disappointment(session, each)
      if (message !== undefined) failures.push({ span: each.span, message })
    }
  }
  return { scenario, failures, log: session.log }
}

interface Stage {
  readonly deeds: Deed[]
  readonly expectations: Expectation[]
}

/** What is done, and what is expected right after it, in turn. */
function stages(steps: readonly ScenarioStep[]): Stage[] {
  const all: Stage[] = [{ deeds: [], expectations: [] }]
  for (const step of steps) {
    const stage = last(all)
    if (step.kind === "expects next" || step.kind === "expects fault") stage.expectations.push(step)
    else if (stage.expectations.length > 0) all.push({ deeds: [step], expectations: [] })
    else stage.deeds.push(step)
  }
  return all
}

class ImpossibleStep extends Error {
  readonly step: Deed

  constructor(step: Deed, why: string) {
    super(why)
    this.step = step
  }
}

function after(session: Session, deeds: readonly Deed[]): Session {
  let now = session
  for (let i = 0; i < deeds.length; ) {
    const findings: Finds[] = []
    for (let step = deeds[i]; step?.kind === "finds"; step = deeds[i]) {
      findings.push(step)
      i++
    }
    if (findings.length > 0) now = found(now, findings)
    const deed = deeds[i++]
    if (deed?.kind === "does") now = tried(deed, () => done(now, deed.act, deed.found))
    else if (deed?.kind === "cannot") now = tried(deed, () => now.cannot(deed.test))
  }
  return now
}

/** What the plan says beside, as whether parts are left in, holds where the step is the plan's. */
function done(session: Session, act: Act, found: string): Session {
  return isSame(session.next, act) ? session.answer(found) : session.find(act, found)
}

type Finds = Extract<Deed, { kind: "finds" }>

/**
 * Findings in a row: by the step that comes next where it takes some of them, else by any test that does, else each by
 * itself.
 */
function found(session: Session, findings: readonly Finds[]): Session {
  let now = session
  let left = findings
  while (left.length > 0) {
    const here = now.next.do === "test" ? [now.next] : []
    const step = [...here, ...now.steps].find(
      ({ reads }) =>
        reads.length > 0 && reads.every(({ name }) => left.some((each) => each.reading === name)),
    )
    const taken = step
      ? left.filter(({ reading }) => step.reads.some(({ name }) => name === reading))
      : left.slice(0, 1)
    const values = Object.fromEntries(taken.map(({ reading, value }) => [reading, value]))
    const act = step?.act ?? { reading: at(taken, 0).reading }
    now = tried(at(taken, 0), () => now.find(act, step ? values : at(taken, 0).value))
    left = left.filter((each) => !taken.includes(each))
  }
  return now
}

function tried(step: Deed, go: () => Session): Session {
  try {
    return go()
  } catch (error) {
    if (!(error instanceof RunError)) throw error
    throw new ImpossibleStep(step, error.message)
  }
}

/** What is said where it isn't as expected. */
function disappointment(session: Session, expectation: Expectation): string | undefined {
  if (expectation.kind === "expects fault") return faultIsNot(session, expectation)
  const { next } = session
  if (isSame(next, expectation.act)) return undefined
  return `Expected ${actText(expectation.act)} next, but ${nextText(next)}.`
}

function faultIsNot(session: Session, { fault, is }: Expectation & { fault: string; is: FaultIs }) {
  const suspects = new Map(session.candidates.map((suspect) => [suspect.info?.name, suspect]))
  const { active, present } = lookUp(suspects, fault)
  const name = backticked(fault)
  if (is.bound === "ruled out")
    return present === 0 ? undefined : `${name} isn't ruled out: it is present in ${percent(present)}.`
  const isSo = is.bound === "at least" ? active >= is.chance - EVEN : active <= is.chance + EVEN
  return isSo
    ? undefined
    : `Expected ${name} to be active in ${is.bound} ${percent(is.chance)}, but it is in ${percent(active)}.`
}

/** Chances that differ by less are the same. */
const EVEN = 1e-9

export function isSame(next: Step, act: Act): boolean {
  if (next.do === "end") return false
  if (next.do === "handover") return "handOver" in act
  return JSON.stringify(next.act) === JSON.stringify(act)
}

function nextText(next: Step): string {
  if (next.do === "end") return next.closed ? "the job is closed" : "the job is handed over"
  return `it is ${next.do === "handover" ? "to hand over" : actText(next.act)}`
}

const acts: Readonly<Record<string, string>> = {
  takeOut: "to take out",
  putBack: "to put back",
  keep: "to keep",
  replace: "to replace",
  fix: "to fix",
}

function actText(act: Act): string {
  if ("look" in act) return "to look again"
  if ("close" in act) return "the proof run"
  if ("handOver" in act) return "to hand over"
  const [[kind, name]] = Object.entries(act) as [[string, string]]
  const verb = acts[kind]
  return verb === undefined ? backticked(name) : `${verb} ${backticked(name)}`
}
