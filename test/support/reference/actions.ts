import type { Gate, Model } from "../../../compiler/model/model.ts"
import { type Action, isActive, known, type State, sum } from "./beliefs.ts"
import { fixWork } from "./costs.ts"
import { countingProofs, proofChance } from "./readings.ts"

/** Room for rounding where a chance is held against `trust`. */
const rounding = 1e-9

/** What may be done here; a swap stands once, whatever is to be done after `stays`. */
export function actions(model: Model, state: State): Action[] {
  if (state.hypotheses.length === 0) return [{ do: "handover" }]
  return [
    ...model.tests.flatMap((_, test) => (mayTest(model, state, test) ? [{ do: "test" as const, test }] : [])),
    ...[...state.fitted].flatMap(([part, { left }]): Action[] => [
      ...(left ? [{ do: "takeOut" as const, part }] : []),
      { do: "putBack", part },
      ...(state.repairs.has(`keep ${part}`) ? [] : [{ do: "keep" as const, part }]),
    ]),
    ...model.places.flatMap((place, part): Action[] =>
      place.kind === "part" &&
      !state.fitted.has(part) &&
      !state.repairs.has(`replace ${part}`) &&
      isOpen(place.gate, state)
        ? [{ do: "replace", part }]
        : [],
    ),
    ...model.faults.flatMap(({ place, gate }, fault): Action[] =>
      state.fitted.has(place) ||
      state.repairs.has(`fix ${fault}`) ||
      fixWork(model, fault) === undefined ||
      !isOpen(gate, state)
        ? []
        : [{ do: "fix", fault }],
    ),
    ...(state.mayLook ? [{ do: "look" as const }] : []),
    ...(mayClose(model, state) ? [closing(model, state)] : []),
    { do: "handover" },
  ]
}

function mayTest(model: Model, state: State, index: number): boolean {
  const test = model.tests[index]!
  if (!isOpen(test, state)) return false
  if (test.parts.some((part) => state.fitted.has(part))) return false
  if (test.kind === "told") return !state.done.has(index)
  return !state.sinceRepair.has(repetition(model, state, index))
}

/** `after`, `after any of` and `only if`, of a test or of a repair. */
function isOpen(gate: Gate | undefined, state: State): boolean {
  if (gate === undefined) return true
  if (!gate.after.every((each) => state.done.has(each))) return false
  if (gate.afterAny.length > 0 && !gate.afterAny.some((each) => state.done.has(each))) return false
  return gate.onlyIf === undefined || known(gate.onlyIf, state.findings) === true
}

/** What must not be done twice between repairs: a test, and of a swap the same with the same parts fitted before. */
export function repetition(model: Model, state: State, index: number): string {
  if (model.tests[index]!.kind !== "swaps") return `${index}`
  return `${index} with ${[...state.fitted.keys()].sort((a, b) => a - b)}`
}

function closing(model: Model, state: State): Action {
  const counting = countingProofs(model, state)
  return { do: "close", proofs: counting.map((proof) => model.proofs.indexOf(proof)) }
}

export function mayClose(model: Model, state: State): boolean {
  if (state.fitted.size > 0 || !state.gone) return false
  const proofs = countingProofs(model, state)
  const holds = state.hypotheses.map((each) => each.weight * proofChance(model, each, state.fitted, proofs))
  const sound = holds.filter((_, i) => !isActive(model, state.hypotheses[i]!, state.fitted))
  return sum(holds) > 0 && sum(sound) / sum(holds) >= model.ruleset.trust - rounding
}
