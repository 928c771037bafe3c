import type { Graph } from "../run/graph.ts"
import { ShipError } from "./ship-error.ts"

/** What exports say of a graph and the runner does not look at, so its check does not see it. */
const texts = [
  "ruleset.name",
  "ruleset.title",
  "ruleset.version",
  "ruleset.source",
  "ruleset.compiler",
  "complaint.text",
  "money",
]

/** @throws ShipError naming the first of these that a graph from elsewhere does not have. */
export function requireTexts(graph: Graph): void {
  for (const path of texts) {
    const value = path
      .split(".")
      .reduce<unknown>((so, key) => (so as Record<string, unknown> | undefined)?.[key], graph)
    if (typeof value !== "string")
      throw new ShipError(
        `This graph cannot be shipped: \`${path}\` is missing or no text. Compile the ruleset again.`,
      )
  }
}
