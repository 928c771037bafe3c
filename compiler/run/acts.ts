import type { Action } from "./action.ts"
import type { Job } from "./belief.ts"
import { RunError } from "./error.ts"
import type { PlaceIndex, ReadingIndex, Table } from "./indexes.ts"
import type { Machine } from "./machine.ts"
import { brief } from "./read.ts"
import type { Act, Found } from "./session-types.ts"

/** An action by the names of the ruleset. */
export function actOf(m: Machine, action: Action): Act {
  switch (action.do) {
    case "test":
      return { test: m.tests[action.test]!.name }
    case "read":
      return { reading: m.readings[action.reading]!.name }
    case "fix":
      return { fix: m.faults[action.fault]!.name }
    case "look":
      return { look: true }
    case "close":
      return { close: true }
    case "handOver":
      return { handOver: true }
    default:
      return { [action.do]: m.places[action.part]!.name } as unknown as Act
  }
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
  if (named.look) return { do: "look" }
  if (named.close) return { do: "close" }
  if (named.handOver) return { do: "handOver" }
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

/** The same for equal actions, whatever stays in after a swap. */
export function actionKey(action: Action): string {
  const { leaveIn: _, ...rest } = { leaveIn: false, ...action }
  return Object.values(rest).join(" ")
}

/** Why an action can't have been done as the machine stands; undefined where it can. */
export function whyImpossible(m: Machine, job: Job, action: Action): string | undefined {
  const name = (part: PlaceIndex) => `\`${m.places[part]!.name}\``
  const { fitted } = job
  switch (action.do) {
    case "test": {
      const test = m.tests[action.test]!
      if (test.kind === "told" && job.done.has(action.test))
        return `\`${test.name}\` has been answered: take the answer back first.`
      const inside = test.parts.find((part) => fitted.has(part))
      return inside === undefined ? undefined : `The known-good ${name(inside)} is in the machine.`
    }
    case "takeOut":
    case "putBack":
    case "keep":
      return fitted.has(action.part) ? undefined : `No known-good ${name(action.part)} is in the machine.`
    case "replace":
      if (m.places[action.part]!.kind !== "part") return `${name(action.part)} isn't a part.`
      return fitted.has(action.part) ? `The known-good ${name(action.part)} is in the machine.` : undefined
    case "fix": {
      const { name: fault, place } = m.faults[action.fault]!
      if (!m.model.fix[action.fault]) return `The ruleset has no fix for \`${fault}\`.`
      return fitted.has(place) ? `The known-good ${name(place)} is in the machine.` : undefined
    }
    case "close": {
      const [part] = fitted.keys()
      return part === undefined ? undefined : `The known-good ${name(part)} is still in the machine.`
    }
    default:
      return undefined
  }
}

/** The readings that an action is answered with. */
export function readsOf(m: Machine, action: Action): readonly ReadingIndex[] {
  if (action.do === "read") return [action.reading]
  return action.do === "test" ? m.tests[action.test]!.reads : []
}

/** The words that an action without readings is answered with. */
export function wordsOf({ do: kind }: Action): readonly Found[] {
  if (kind === "close") return ["holds", "fails"]
  return kind === "takeOut" || kind === "keep" || kind === "handOver" ? ["done"] : ["gone", "stays"]
}
