/**
 * JSON Schema (draft 2020-12) of a recorded case: one line of a `*.cases.jsonl`. Names are those of the ruleset; a value
 * is a listed one, a number in the reading's unit, or a text with a unit, like `24.1 V`.
 */
const name = { type: "string", minLength: 1 }
const looked = { enum: ["gone", "stays"], description: "Whether the complaint is gone or stays." }
const value = { type: ["string", "number", "boolean"] }
const values = { type: "object", additionalProperties: value, description: "Values by the reading's name." }
const done = { const: "done" }
const minutes = {
  type: "number",
  minimum: 0,
  description: "Of this step, looking for the complaint included.",
}

const taken = {
  type: "object",
  additionalProperties: { type: "object", additionalProperties: { type: "string" } },
  description: "The numbers that readings were worked out from, by reading and by name, with their units.",
}

/** One kind of step; `optional` fields may be missing. */
const step = (
  description: string,
  required: Readonly<Record<string, unknown>>,
  optional: Readonly<Record<string, unknown>> = {},
) => ({
  type: "object",
  description,
  properties: { ...required, ...optional, minutes, taken },
  required: Object.keys(required),
  additionalProperties: false,
})

const steps = [
  step(
    "A test, or a told question by its name.",
    { test: name, found: { anyOf: [looked, values, value] } },
    {
      leftIn: {
        type: "boolean",
        description: "After a swap that changed nothing: whether the known-good parts stayed in.",
      },
    },
  ),
  step("A reading that was found without a test.", { found: values }),
  step("The same for one reading.", { reading: name, found: { anyOf: [values, value] } }),
  step("A known-good part that had been left in came out again.", { takeOut: name }, { found: done }),
  step("The old part went back in.", { putBack: name, found: looked }),
  step("The known-good part that is in the machine stays there for good.", { keep: name }, { found: done }),
  step("A new part was fitted.", { replace: name, found: looked }),
  step("A fault was fixed.", { fix: name, found: looked }),
  step("The complaint was looked for once more.", { look: { const: true }, found: looked }),
  step("The proof run.", { close: { const: true }, found: { enum: ["holds", "fails"] } }),
  step("Somebody else took the machine.", { handOver: { const: true } }, { found: done }),
]

export const caseSchema = {
  $schema: "https://json-schema.org/draft/2020-12/schema",
  $id: "urn:ruleout:case:2",
  title: "A recorded case",
  description: "One finished job. Nothing in it names a person.",
  type: "object",
  properties: {
    id: { ...name, maxLength: 200, description: "Of the job, never the name of a person." },
    date: { type: "string", format: "date", pattern: "^\\d{4}-\\d{2}-\\d{2}$", description: "ISO 8601." },
    complaint: { ...name, description: "Name of the complaint that brought the machine in." },
    told: { ...values, description: "The owner's account: answers by the question's name." },
    steps: { type: "array", description: "What was done at the bench, in order.", items: { anyOf: steps } },
    faults: {
      type: "array",
      items: name,
      description:
        "What was wrong: one fault, or two, or `unlisted` where the ruleset does not have it. Missing or empty where nobody confirmed it.",
    },
    fault: { ...name, description: "The same for one fault, as records of version 1 have it." },
    confirmed: { type: "string", description: "How that was confirmed." },
    owner_stops_at: {
      type: "number",
      exclusiveMinimum: 0,
      description: "What the owner wanted to pay at most.",
    },
    not_worth_repairing: {
      type: "boolean",
      description:
        "The job ended because going on would have cost more than the machine was worth to its owner.",
    },
    came_back: { type: "boolean", description: "The same machine came back with the same complaint." },
  },
  required: ["id", "steps"],
  additionalProperties: false,
}
