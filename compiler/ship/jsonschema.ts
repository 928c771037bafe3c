import { caseSchema } from "../cases/record/schema.ts"
import { graphSchema } from "../graph/schema.ts"
import type { Graph } from "../run/graph.ts"

/**
 * The JSON Schema (draft 2020-12) of this ruleset's recorded cases, with the names of its tests, readings and parts.
 * `$defs` holds the schemas of any recorded case and of any graph.
 */
export function writeJsonSchema(graph: Graph): string {
  const { name, title, version } = graph.ruleset
  const told = graph.readings.filter((reading) => reading.told).map((reading) => reading.name)
  const read = graph.readings.map((reading) => reading.name)
  const parts = graph.places.filter(({ kind }) => kind === "part").map((place) => place.name)
  const faults = graph.faults.map((fault) => fault.name)
  const schema = {
    $schema: "https://json-schema.org/draft/2020-12/schema",
    $id: `urn:ruleout:cases:${encodeURIComponent(wellFormed(name))}:${encodeURIComponent(wellFormed(version))}`,
    title: `A recorded case of: ${title}`,
    allOf: [{ $ref: caseSchema.$id }],
    properties: {
      complaint: { const: graph.complaint.name },
      told: { propertyNames: names(told) },
      // Only examples: cases with a fault that nobody has listed yet are worth most.
      fault: { examples: faults },
      faults: { items: { examples: [...faults, "unlisted"] } },
      steps: {
        items: {
          properties: {
            test: names(graph.tests.map((test) => test.name)),
            reading: names(read),
            takeOut: names(parts),
            putBack: names(parts),
            keep: names(parts),
            replace: names(parts),
            fix: names(faults),
            found: { propertyNames: names(read) },
          },
        },
      },
    },
    $defs: { case: caseSchema, graph: graphSchema },
  }
  return `${JSON.stringify(schema, undefined, 2)}\n`
}

/** `enum` can't be empty: then no name is allowed. */
function names(all: readonly string[]): object {
  return all.length === 0 ? { not: {} } : { enum: [...new Set(all)] }
}

/** A URN can't hold a lone surrogate: it becomes the replacement character. */
function wellFormed(text: string): string {
  return text.replace(/\p{Surrogate}/gu, "\ufffd")
}
