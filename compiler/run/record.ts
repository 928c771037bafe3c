import { actionOf, readsOf } from "./acts.ts"
import type { Machine } from "./machine.ts"
import type { Act, Answer, Beside, Closing, Entry, Recorded, RecordedStep } from "./session-types.ts"
import { testOf } from "./work.ts"

/** The last job of a log as a recorded case. Fields that nothing is known of are not there. */
export function recordOf(m: Machine, log: readonly Entry[], closing: Closing): Recorded {
  const told: [string, string][] = []
  const steps: RecordedStep[] = []
  for (const entry of log) {
    if ("cameBack" in entry) {
      told.length = 0
      steps.length = 0
    }
    if (!("act" in entry)) continue
    const { act, found, said = [], leftIn } = entry
    const action = actionOf(m, act)
    const reads = readsOf(m, action)
    const all = said.map((value, i): [string, string] => [m.readings[reads[i]!]!.name, value])
    if (testOf(m.tests, action)?.kind === "told") told.push(...all)
    else
      steps.push({
        ...act,
        // From entries, so that a reading named `__proto__` is a field like any other.
        found: typeof found === "string" ? found : Object.fromEntries(all),
        ...onRecord(entry),
        ...(leftIn && found === "stays" ? { leftIn: true as const } : {}),
      })
  }
  const { id, date, faults, confirmed, cameBack } = closing
  return {
    id,
    ...(date !== undefined && { date }),
    complaint: m.complaint.name,
    told: Object.fromEntries(told),
    steps,
    ...(faults !== undefined && { faults }),
    ...(confirmed !== undefined && { confirmed }),
    ...(cameBack !== undefined && { came_back: cameBack }),
  }
}

/** What is only for the record. */
export function onRecord({ minutes, taken }: Beside): Omit<Beside, "leftIn"> {
  return { ...(minutes !== undefined && { minutes }), ...(taken && { taken }) }
}

/** A step of a record, as `find` takes it. */
interface Recollection {
  readonly act: Act
  readonly found: Answer
  readonly beside: Beside
}

/** What a record says was done, in the order of a job: told questions first. */
export function actsIn({ told, steps }: Recorded): Recollection[] {
  const answers = Object.entries(told ?? {}).map(
    ([test, found]): Recollection => ({ act: { test }, found, beside: {} }),
  )
  return [
    ...answers,
    ...steps.flatMap((step): Recollection[] => {
      const { found, minutes, taken, leftIn, ...act } = step as RecordedStep & {
        readonly [name: string]: unknown
      }
      const beside = { ...onRecord(step), ...(leftIn ? { leftIn } : {}) }
      // A step of readings alone says what was learnt without a test.
      if (Object.keys(act).length === 0 && typeof found === "object")
        return Object.entries(found).map(([reading, value]) => ({ act: { reading }, found: value, beside }))
      return [{ act: act as unknown as Act, found, beside }]
    }),
  ]
}
