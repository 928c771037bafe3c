/**
 * The meaning of a ruleset, said once more, slowly. Planner, runner, graph and simulator are measured against it, so it
 * shares no code with them and holds nothing clever: a list of hypotheses, one function for each paragraph of the page
 * that says what a ruleset means, and every plan tried where the best one is asked for.
 */
export { actions, mayClose } from "./reference/actions.ts"
export {
  type Action,
  activeChance,
  type Belief,
  belief,
  canonical,
  type Found,
  type Hypothesis,
  isActive,
  known,
  type State,
  start,
  type Taking,
} from "./reference/beliefs.ts"
export { charge, fixWork, lookMinutes, replaceWork, type Spent, testMoney } from "./reference/costs.ts"
export { best, bestPlan, TooLarge, unavoidable } from "./reference/expectimax.ts"
export { find, type Outcome, outcomes, perform, replay } from "./reference/outcomes.ts"
export { cellChances, countingProofs, proofChance, showChance } from "./reference/readings.ts"
export { reachOf, redone } from "./reference/redoing.ts"
