import { isEmpty, project } from "./state.ts"
import { mostNodes, type PlanState } from "./workers/plan-runner.ts"

/** Why there is no graph to show, and what to do about it. */
export function whyNoGraph(state: PlanState): string {
  if (isEmpty.value) return "Write a ruleset or open an example: its graph is made as you go."
  switch (state.kind) {
    case "blocked":
      return "The ruleset has errors. Mend them in Write; the graph follows by itself."
    case "failed":
      return `The compiler stopped on this text: ${state.message}`
    case "large":
      return largeText(state.nodes)
    default:
      return "The plan is being made…"
  }
}

export function largeText(nodes: number): string {
  return `The plan has ${nodes.toLocaleString("en")} nodes, and this page can draw ${mostNodes.toLocaleString("en")}. Compile it at a terminal, where there is no such limit: \`ruleout compile ${project.value.root}\`. Or divide the ruleset by complaint.`
}
