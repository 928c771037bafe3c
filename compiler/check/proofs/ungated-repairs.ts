import type { Condition, Model, Test } from "../../model/model.ts"
import { fixChance, fixWork, swapsAlone } from "../../model/repairs.ts"
import type { Repair } from "./doable-tests.ts"

/** A repair that may be done where the tests that do the same work may not. */
export interface UngatedRepair {
  readonly repair: Repair
  /** All that do the same work; each has an `only if`. */
  readonly tests: readonly (Test & { readonly onlyIf: Condition })[]
}

/** Repairs that wait for nothing, and do what a test does which has a condition. */
export function ungatedRepairs(model: Model): UngatedRepair[] {
  const blamed = new Set(model.faults.map(({ place }) => place))
  const parts = model.places.flatMap(({ kind, gate }, part): UngatedRepair[] => {
    if (kind !== "part" || gate !== undefined || !blamed.has(part)) return []
    return ungated(
      { kind: "replace", part },
      model.tests.filter((test) => swapsAlone(test, part)),
    )
  })
  const faults = model.faults.flatMap(({ gate }, fault): UngatedRepair[] => {
    if (gate !== undefined || fixWork(model, fault) === undefined) return []
    return ungated(
      { kind: "fix", fault },
      model.tests.filter((test) => fixChance(model, test, fault) > 0),
    )
  })
  return [...parts, ...faults]
}

/** One of these tests without a condition would say that the work needs none. */
function ungated(repair: Repair, tests: readonly Test[]): UngatedRepair[] {
  const waiting = tests.flatMap((test) =>
    test.onlyIf === undefined ? [] : [{ ...test, onlyIf: test.onlyIf }],
  )
  return waiting.length === 0 || waiting.length < tests.length ? [] : [{ repair, tests: waiting }]
}
