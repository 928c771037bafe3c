import { grouped } from "../../compiler/wording/figures.ts"
import { MAX_NODES, type PlanState } from "./plan-state.ts"
import { isEmpty, project } from "./state.ts"

/** Why there is no graph to show, and what to do about it. */
export function whyNoGraph(state: PlanState): string {
  if (isEmpty.value) return "Write a ruleset or open an example. Its graph is built as you type."
  switch (state.kind) {
    case "blocked":
      return "The ruleset has errors. Fix them in Write, and the graph appears here."
    case "held":
      return "This page closed unexpectedly while it analysed the ruleset. In Write, ask for the analysis."
    case "failed":
      return `The compiler crashed on this text: ${state.message}`
    case "large":
      return largeText(state.nodes)
    default:
      return "Planning…"
  }
}

export function largeText(nodes: number): string {
  return `The plan has ${grouped(nodes)} nodes, but this page can draw only ${grouped(MAX_NODES)}. Compile it on the command line, which has no such limit: \`ruleout compile ${project.value.root}\`. Or split the ruleset, one for each complaint.`
}
