import type { Model } from "../model/model.ts"
import type { FaultIndex } from "../run/indexes.ts"

/** What is wrong with a machine: one fault, two faults in rising order, or no listed one: something not listed. */
export type MachineState = readonly FaultIndex[]

/** Which states have a chance at all. */
export interface StateKinds {
  readonly singles: boolean
  readonly pairs: boolean
  readonly unlisted: boolean
}

export function stateKinds({ ruleset, faults }: Model): StateKinds {
  const pairs = ruleset.second > 0 && faults.length > 1
  const unlisted = ruleset.unlisted > 0
  const left = 1 - (pairs ? ruleset.second : 0) - ruleset.unlisted
  return { singles: left > 1e-12, pairs, unlisted }
}
