import { actionKey, type StepAction } from "./action.ts"
import { actionOf, actOf, readsOf, whyImpossible, wordsOf } from "./acts.ts"
import { type Advice, advise } from "./advise.ts"
import { availableActions } from "./available.ts"
import { type Course, courseAfter, courseOf } from "./course.ts"
import { RunError } from "./error.ts"
import { NONE } from "./estimate.ts"
import type { GraphNode } from "./graph.ts"
import type { Machine } from "./machine.ts"
import { stepsAtOdds, stepsLeft, whyOut } from "./mistakes.ts"
import { plannedFrom } from "./outlook.ts"
import { actionAt, isStep, leavesIn, nodeReached } from "./position.ts"
import { readAnswer, readWord } from "./read.ts"
import { onRecord, recordOf } from "./record.ts"
import type { Act, Answer, Beside, Done, Entry, Outlook, Session, Step, Suspect } from "./session-types.ts"
import { actionStep } from "./steps.ts"
import { hypothesesOf, pairsOf, statusOf, suspectsOf, suspicionsOf } from "./suspects.ts"
import { testOf } from "./work.ts"

/** Works a value out when it is first asked for. */
function once<T>(work: () => T): () => T {
  let done: { readonly value: T } | undefined
  return () => {
    done ??= { value: work() }
    return done.value
  }
}

/** The session of a job with this log; `open` begins one, and each session makes the next. */
export function sessionOf(m: Machine, log: readonly Entry[], course: Course = courseOf(m, log)): Session {
  const { belief, unable } = course
  const { job } = belief
  const suspects = once(() => suspectsOf(m, course))
  const node = once(() => plannedNode(m, log, course))
  const advice = once(() => advise(m, belief, unable))
  const next = once(() => nextStep(m, log, course, node(), advice, suspects))
  const add = (entry: Entry) => sessionOf(m, [...log, entry], courseAfter(m, course, entry))
  const find = (act: Act, found: Answer, beside: Beside) => add(done(m, course, node(), act, found, beside))
  return {
    log,
    get next() {
      return next()
    },
    get steps() {
      return openActions(m, course).map((action) => actionStep(m, belief, action, suspects))
    },
    get candidates() {
      return suspects()
    },
    get hypotheses() {
      return hypothesesOf(course)
    },
    get pairs() {
      return pairsOf(hypothesesOf(course))
    },
    get suspicions() {
      return suspicionsOf(course)
    },
    get outlook() {
      return outlookOf(m, course, node(), advice)
    },
    get standing() {
      return statusOf(m, course)
    },
    answer(found, beside = {}) {
      const step = next()
      if (step.do === "end") throw new RunError("ended", "The job has ended.")
      if (step.do === "handover") return find({ handOver: true }, found, beside)
      return find(step.act, found, { leftIn: step.leaveIn, ...beside })
    },
    find: (act, found, beside = {}) => find(act, found, beside),
    cannot(what) {
      const act = typeof what === "string" ? { test: what } : what
      actionOf(m, act)
      return add({ cannot: act })
    },
    undo: (step) => sessionOf(m, logWithout(m, log, step)),
    cameBack() {
      if (!job.ended) throw new RunError("name", "The job has not ended yet.")
      return add({ cameBack: true })
    },
    why: (name) => whyOut(m, log, suspectNamed(suspects(), name)),
    record: (closing) => recordOf(m, log, closing),
  }
}

/** The log without a step, and without what could not have been done without it. */
function logWithout(m: Machine, log: readonly Entry[], step: number): Entry[] {
  if (!log[step]) throw new RunError("name", `There is no step ${step}.`)
  return stepsLeft(m, log, new Set([step])).map((left) => log[left]!)
}

function suspectNamed(suspects: readonly Suspect[], name: string): Suspect {
  const suspect = suspects.find(({ info }) => info?.name === name)
  if (!suspect) throw new RunError("name", `There is no fault \`${name}\` in this ruleset.`)
  return suspect
}

/** The node of the graph to go on from; undefined where the model decides. */
function plannedNode(m: Machine, log: readonly Entry[], { belief, unable }: Course): GraphNode | undefined {
  if (belief.job.ended || belief.hypotheses.length === 0) return undefined
  const node = nodeReached(m, log)
  if (!node || node.do === "advise") return undefined
  if (node.do === "handover") return node
  const action = actionAt(node)
  return unable.has(actionKey(action)) || whyImpossible(m, belief.job, action) ? undefined : node
}

function openActions(m: Machine, { belief, unable }: Course): StepAction[] {
  return availableActions(m, belief).filter((action) => !unable.has(actionKey(action)))
}

function nextStep(
  m: Machine,
  log: readonly Entry[],
  course: Course,
  node: GraphNode | undefined,
  advice: () => Advice,
  suspects: () => readonly Suspect[],
): Step {
  const { belief } = course
  const { ended } = belief.job
  if (ended) return { do: "end", closed: ended === "closed", by: "model" }
  if (belief.hypotheses.length === 0)
    return { do: "handover", fits: false, atOdds: stepsAtOdds(m, log, course), by: "model" }
  const by = node ? "graph" : "model"
  const action = node ? ("edges" in node ? actionAt(node) : undefined) : advice().action
  if (!action) return { do: "handover", fits: true, atOdds: [], by }
  return Object.defineProperty(actionStep(m, belief, action, suspects), "by", {
    value: by,
    enumerable: true,
  }) as Step
}

function outlookOf(
  m: Machine,
  { belief }: Course,
  node: GraphNode | undefined,
  advice: () => Advice,
): Outlook {
  if (belief.job.ended) return { ...NONE, by: "model" }
  return node ? { ...plannedFrom(m, node, belief.job), by: "graph" } : { ...advice().outlook, by: "model" }
}

/** What was done and found, as the log has it. @throws RunError where that can't be, or the answer can't be read. */
function done(
  m: Machine,
  { belief }: Course,
  node: GraphNode | undefined,
  act: Act,
  found: Answer,
  given: Beside,
): Done {
  const { job } = belief
  if (job.ended) throw new RunError("ended", "The job has ended.")
  const action = actionOf(m, act)
  const impossible = whyImpossible(m, job, action)
  if (impossible) throw new RunError("name", impossible)
  const named = actOf(m, action)
  const beside = onRecord(given)
  const reads = readsOf(m, action)
  if (reads.length > 0) {
    const read = readAnswer(m, reads, found)
    return { act: named, found: read.map(({ cell }) => cell), said: read.map(({ said }) => said), ...beside }
  }
  const word = readWord(wordsOf(action), found, nameOf(named))
  const isSwap = testOf(m.tests, action)?.kind === "swaps"
  const planned = node && "edges" in node && isStep(m, node, action) && leavesIn(node)
  return {
    act: named,
    found: word,
    ...beside,
    ...(isSwap && (given.leftIn ?? planned) ? { leftIn: true } : {}),
  }
}

/** An act as a message names it. */
function nameOf(act: Act): string {
  const [[kind, name] = []] = Object.entries(act)
  return kind === "test" ? `\`${name}\`` : name === true ? `\`${kind}\`` : `\`${kind} ${name}\``
}
