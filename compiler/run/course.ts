import { type Action, actionKey } from "./action.ts"
import { actionOf } from "./acts.ts"
import { type Belief, isActive, isListed, isUnlisted, startBelief, startJob } from "./belief.ts"
import { reasonOut } from "./eliminations.ts"
import type { FaultIndex, Table } from "./indexes.ts"
import type { Machine } from "./machine.ts"
import { after } from "./outcomes.ts"
import type { Done, Entry, Out } from "./session-types.ts"

/** What a log comes to. */
export interface Course {
  readonly belief: Belief
  /** By key: actions that cannot be done here. */
  readonly unable: ReadonlySet<string>
  /** By fault that has lost its last chance: when, and why. */
  readonly out: ReadonlyMap<FaultIndex, Out>
  /** Chances of two faults and of something not listed, before the first step and after each. */
  readonly marks: readonly { readonly two: number; readonly unlisted: number }[]
}

/** The course of a job at intake; `only`: of states with this fault alone, for questions about it. */
export function startCourse(m: Machine, only?: FaultIndex): Course {
  const belief = startBelief(m, only)
  return { belief, unable: new Set(), out: new Map(), marks: [markOf(belief)] }
}

/** The course after one more entry, which has to be possible: `whyImpossible` says. */
export function courseAfter(m: Machine, course: Course, entry: Entry): Course {
  const step = course.marks.length - 1
  const marked = (next: Omit<Course, "marks">) => ({ ...next, marks: [...course.marks, markOf(next.belief)] })
  if ("cannot" in entry)
    return marked({ ...course, unable: new Set([...course.unable, actionKey(actionOf(m, entry.cannot))]) })
  if ("cameBack" in entry) return marked({ ...course, belief: nextJob(m, course.belief), unable: new Set() })
  const action = actionIn(m, entry)
  const { belief: before } = course
  const belief = after(m, before, action, entry.found)
  const unable = new Set(course.unable)
  unable.delete(actionKey(action))
  const out = new Map(course.out)
  const left = present(m, belief)
  present(m, before).forEach((chance, fault) => {
    if (chance > 0 && left[fault] === 0)
      out.set(fault, { step, ...reasonOut(m, before, action, entry, fault) })
  })
  return marked({ belief, unable, out })
}

/** The action of an entry, with what stays in after a swap. */
export function actionIn(m: Machine, { act, leftIn }: Done): Action {
  const action = actionOf(m, act)
  return action.do === "test" && leftIn ? { ...action, leaveIn: true } : action
}

/** Chances by fault that it was in the machine as it came in. */
export function present(m: Machine, { hypotheses }: Belief): Table<FaultIndex, number> {
  const chances = m.faults.map(() => 0)
  for (const { a, b, weight } of hypotheses)
    for (const fault of [a, b].filter(isListed)) chances[fault]! += weight
  return chances
}

function markOf({ hypotheses }: Belief) {
  let two = 0
  let unlisted = 0
  for (const h of hypotheses) {
    if (isUnlisted(h)) unlisted += h.weight
    else if (h.b >= 0) two += h.weight
  }
  return { two, unlisted }
}

/**
 * The machine came back: known-good parts are out, something is active after all, and everything may be done once more
 * but asking what was asked.
 */
function nextJob(m: Machine, { job, hypotheses }: Belief): Belief {
  const told = [...job.done].filter((test) => m.tests[test]!.kind === "told")
  const next = { ...startJob(m), time: job.time, taken: job.taken, done: new Set(told) }
  const active = hypotheses.filter((h) => isActive(m, h, next))
  const all = active.reduce((sum, { weight }) => sum + weight, 0)
  return { job: next, hypotheses: active.map((h) => ({ ...h, weight: h.weight / all })) }
}

/** The course of a whole log. @throws RunError where a name in it isn't one of the graph. */
export function courseOf(m: Machine, log: readonly Entry[], only?: FaultIndex): Course {
  return log.reduce((course, entry) => courseAfter(m, course, entry), startCourse(m, only))
}
