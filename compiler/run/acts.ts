import type { Action } from "./action.ts"
import type { Job } from "./belief.ts"
import { RunError } from "./error.ts"
import type { PlaceIndex, ReadingIndex, Table } from "./indexes.ts"
import type { Machine } from "./machine.ts"
import { brief } from "./read.ts"
import type { Act, Found } from "./session-types.ts"
import { type Doing, testOf, workOf } from "./work.ts"

/** An action by the names of the ruleset. */
export function actOf(m: Machine, action: Action): Act {
  const { do: kind, test, reading, fault, part }: Doing = action
  const named =
    m.tests[test ?? -1] ?? m.readings[reading ?? -1] ?? m.faults[fault ?? -1] ?? m.places[part ?? -1]
  return { [kind === "read" ? "reading" : kind]: named?.name ?? true } as unknown as Act
}

/** The action that an act or a step of a record names. @throws RunError where nothing has that name. */
export function actionOf(m: Machine, act: Act): Action {
  // A text would have kinds of its own: "x".replace.
  if (typeof act !== "object" || act === null) throw noAct()
  const named = act as { readonly [kind: string]: unknown }
  const index = <I extends number>(kind: string, list: Table<I, { readonly name: string }>) => {
    const at = list.findIndex(({ name }) => name === named[kind])
    if (at === -1)
      throw new RunError("name", `There is no ${kind} \`${brief(String(named[kind]))}\` in this ruleset.`)
    return at
  }
  for (const kind of ["look", "close", "handOver"] as const) if (named[kind]) return { do: kind }
  if (named.test !== undefined) return { do: "test", test: index("test", m.tests) }
  if (named.reading !== undefined) return readAction(m, index("reading", m.readings))
  if (named.fix !== undefined) return { do: "fix", fault: index("fix", m.faults) }
  for (const kind of ["takeOut", "putBack", "keep", "replace"] as const)
    if (named[kind] !== undefined) return { do: kind, part: index(kind, m.places) }
  throw noAct()
}

function noAct(): RunError {
  return new RunError(
    "name",
    'An act names a test, a reading, a part or a fault, like { reading: "rail" }, or says look, close or handOver.',
  )
}

/** A told question is asked by its own test, however it was found out. */
function readAction(m: Machine, reading: ReadingIndex): Action {
  const asks = m.readings[reading]!.told
    ? m.tests.findIndex(({ kind, reads }) => kind === "told" && reads[0] === reading)
    : -1
  return asks === -1 ? { do: "read", reading } : { do: "test", test: asks }
}

/** Why an action can't have been done as the machine stands; undefined where it can. */
export function whyImpossible(m: Machine, job: Job, action: Action): string | undefined {
  const name = (part: PlaceIndex) => `\`${m.places[part]!.name}\``
  const { fitted } = job
  const inside = (parts: readonly PlaceIndex[]) => {
    const part = parts.find((each) => fitted.has(each))
    return part === undefined ? undefined : `The known-good ${name(part)} is in the machine.`
  }
  switch (action.do) {
    case "test": {
      const test = m.tests[action.test]!
      return test.kind === "told" && job.done.has(action.test)
        ? `\`${test.name}\` has been answered: take the answer back first.`
        : inside(test.parts)
    }
    case "takeOut":
    case "putBack":
    case "keep":
      return fitted.has(action.part) ? undefined : `No known-good ${name(action.part)} is in the machine.`
    case "replace":
      return workOf(m.model, action) ? inside([action.part]) : `${name(action.part)} isn't a part.`
    case "fix": {
      const { name: fault, place } = m.faults[action.fault]!
      return workOf(m.model, action) ? inside([place]) : `The ruleset has no fix for \`${fault}\`.`
    }
    case "close":
      return inside([...fitted.keys()])
    default:
      return undefined
  }
}

/** The readings that an action is answered with. */
export function readsOf(m: Machine, action: Action): readonly ReadingIndex[] {
  if (action.do === "read") return [action.reading]
  return testOf(m.tests, action)?.reads ?? []
}

/** The words that an action without readings is answered with. */
export function wordsOf({ do: kind }: Action): readonly Found[] {
  if (kind === "close") return ["holds", "fails"]
  return kind === "takeOut" || kind === "keep" || kind === "handOver" ? ["done"] : ["gone", "stays"]
}
