import { type Action, countingProofs, effectOf, type StepAction } from "./action.ts"
import { actOf } from "./acts.ts"
import type { Belief } from "./belief.ts"
import { costOf } from "./estimate.ts"
import type { GraphAction, GraphPlace } from "./graph.ts"
import type { ProofIndex } from "./indexes.ts"
import type { Machine } from "./machine.ts"
import { type Outcome, outcomes, triesOf } from "./outcomes.ts"
import type { ActionStep, Found, Suspect } from "./session-types.ts"

type Result = Omit<Outcome, "belief">

/** All that the bench needs to do an action; what can come of it is worked out when it is asked for. */
export function actionStep(
  m: Machine,
  belief: Belief,
  action: StepAction,
  suspects: () => readonly Suspect[],
): ActionStep {
  const { job } = belief
  const effect = effectOf(m, job, action)
  const test = action.do === "test" ? m.tests[action.test] : undefined
  const place = placeOf(m, action)
  const proofs = countingProofs(m, job)
  const reads = effect.reads.map((r) => m.readings[r]!)
  let all: readonly Result[] | undefined
  // What would be thought after each isn't kept: of a large ruleset that takes 20 MB a step.
  const results = () => {
    all ??= outcomes(m, belief, action).map(({ belief: _, ...result }) => result)
    return all
  }
  return {
    ...graphAction(action, proofs),
    act: actOf(m, action),
    info: test && m.graphTests[action.do === "test" ? action.test : -1],
    place,
    disturbs: [...effect.redoes.keys(), ...effect.redoesAfter.keys()]
      .map((setup) => m.places[setup]!)
      .filter((setup) => setup !== place),
    parts: (test?.parts ?? []).map((part) => m.places[part]!),
    get cures() {
      return suspects().filter(
        ({ fault, active, present }) =>
          (active > 0 || (action.do === "keep" && present > 0)) &&
          fault !== undefined &&
          (fault === effect.cures || m.faults[fault]!.place === effect.curesPart),
      )
    },
    cautions: test?.cautions ?? [],
    get minutes() {
      return costOf(m, job, action, triesOf(results())).minutes
    },
    get lookCost() {
      return costOf(m, job, action, triesOf(results())).cost - effect.cost
    },
    waits: effect.waits,
    cost: effect.cost,
    tries: effect.tries,
    reads,
    proofRuns: action.do === "close" ? proofs.map((p) => m.proofs[p]!) : [],
    leaveIn: action.do === "test" && action.leaveIn === true,
    get outcomes() {
      return results().map(({ found, chance }) => ({ found, label: labelOf(reads, found), chance }))
    },
  }
}

function graphAction(action: StepAction, proofs: readonly ProofIndex[]): GraphAction {
  return action.do === "close" ? { do: "close", proofs } : action
}

function placeOf(m: Machine, action: Action): GraphPlace | undefined {
  if (action.do === "fix") return m.places[m.faults[action.fault]!.place]
  return "part" in action ? m.places[action.part] : undefined
}

function labelOf(reads: ActionStep["reads"], found: Found): string {
  if (typeof found === "string") return found
  return reads.map(({ name, cells }, i) => (reads[1] ? `${name} ` : "") + cells[found[i]!]!.label).join(", ")
}
