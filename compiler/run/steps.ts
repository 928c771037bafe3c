import { countingProofs, effectOf, type StepAction } from "./action.ts"
import { actOf } from "./acts.ts"
import type { Belief } from "./belief.ts"
import { costOf } from "./estimate.ts"
import type { GraphAction } from "./graph.ts"
import type { Machine } from "./machine.ts"
import { type Outcome, outcomes, triesOf } from "./outcomes.ts"
import type { ActionStep, Found, Suspect } from "./session-types.ts"
import { cautionsOf, type Doing, placeOf, testOf, toolsOf } from "./work.ts"

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
  const place = m.places[placeOf(m, action) ?? -1]
  const doing: GraphAction = action.do === "close" ? { do: "close", proofs: countingProofs(m, job) } : action
  const { leaveIn = false, proofs = [] }: Doing = doing
  const reads = effect.reads.map((r) => m.readings[r]!)
  let all: readonly Result[] | undefined
  // What would be thought after each isn't kept: of a large ruleset that takes 20 MB a step.
  const results = () => {
    all ??= outcomes(m, belief, action).map(({ belief: _, ...result }) => result)
    return all
  }
  return {
    ...doing,
    act: actOf(m, action),
    info: testOf(m.graphTests, doing),
    place,
    disturbs: [...effect.redoes.keys(), ...effect.redoesAfter.keys()]
      .map((setup) => m.places[setup]!)
      .filter((setup) => setup !== place),
    parts: (testOf(m.tests, doing)?.parts ?? []).map((part) => m.places[part]!),
    get cures() {
      return suspects().filter(
        ({ fault, active, present }) =>
          (active > 0 || (action.do === "keep" && present > 0)) &&
          fault !== undefined &&
          (fault === effect.cures || m.faults[fault]!.place === effect.curesPart),
      )
    },
    cautions: cautionsOf(m, doing),
    needs: toolsOf(m, doing),
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
    proofRuns: proofs.map((p) => m.proofs[p]!),
    leaveIn,
    get outcomes() {
      return results().map(({ found, chance }) => ({ found, label: labelOf(reads, found), chance }))
    },
  }
}

function labelOf(reads: ActionStep["reads"], found: Found): string {
  if (typeof found === "string") return found
  return reads.map(({ name, cells }, i) => (reads[1] ? `${name} ` : "") + cells[found[i]!]!.label).join(", ")
}
