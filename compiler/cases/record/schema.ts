/**
 * JSON Schema (draft 2020-12) of a recorded case: one line of a `*.cases.jsonl`. Names are those of the ruleset; a value
 * is a listed one, a number in the reading's unit, or a text with a unit, like `24.1 V`.
 */
const name = { type: "string", minLength: 1 }
const looked = { enum: ["gone", "stays"], description: "What became of the complaint." }
const value = { type: ["string", "number", "boolean"] }
const values = { type: "object", additionalProperties: value, description: "Values by the reading's name." }
const minutes = { type: "number", minimum: 0 }

const step = (required: Readonly<Record<string, unknown>>) => ({
  type: "object",
  properties: { ...required, minutes },
  required: Object.keys(required),
  additionalProperties: false,
})

export const caseSchema = {
  $schema: "https://json-schema.org/draft/2020-12/schema",
  $id: "urn:ruleout:case:1",
  title: "A recorded case",
  description: "One finished job. Nothing in it names a person.",
  type: "object",
  properties: {
    id: { ...name, description: "Of the job, never the name of a person." },
    date: { type: "string", format: "date", pattern: "^\\d{4}-\\d{2}-\\d{2}$", description: "ISO 8601." },
    complaint: { ...name, description: "Name of the complaint that brought the machine in." },
    told: { ...values, description: "The owner's account: answers by the question's name." },
    steps: {
      type: "array",
      description: "What was done on the bench, in order.",
      items: {
        oneOf: [
          step({ test: name, found: { anyOf: [looked, values, value] } }),
          step({ putBack: { ...name, description: "The part that went back." }, found: looked }),
          { ...step({ found: values }), description: "A reading learnt without a test." },
        ],
      },
    },
    fault: { ...name, description: "What it turned out to be; missing where nobody confirmed it." },
    confirmed: { type: "string", description: "How that was confirmed." },
    came_back: { type: "boolean", description: "The same machine was back with the same complaint." },
  },
  required: ["id", "steps"],
  additionalProperties: false,
}
