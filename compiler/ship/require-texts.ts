import type { Graph } from "../run/graph.ts"
import { ShipError } from "./ship-error.ts"

/** Texts that exports need and the runner doesn't, so that its check doesn't cover them. */
const texts = [
  "ruleset.name",
  "ruleset.title",
  "ruleset.version",
  "ruleset.source",
  "ruleset.compiler",
  "complaint.text",
  "money",
]

/** @throws ShipError naming the first of these that is missing, as may be in a graph from elsewhere. */
export function requireTexts(graph: Graph): void {
  for (const path of texts) {
    const value = path
      .split(".")
      .reduce<unknown>((so, key) => (so as Record<string, unknown> | undefined)?.[key], graph)
    if (typeof value !== "string")
      throw new ShipError(
        `This graph can't be exported: \`${path}\` is missing or isn't text. Compile the ruleset again.`,
      )
  }
}
