/** What goes in and out, as JSON Schema (draft 2020-12): requests are checked by it, and the OpenAPI document shows it. */
import { caseSchema } from "../../cases/record/schema.ts"
import { graphSchema } from "../../graph/schema.ts"
import { PAPERS } from "../../ship/sheets/paper.ts"
import { SHEET_KINDS } from "../../ship/sheets/sheets.ts"

type Schema = Readonly<Record<string, unknown>>

/** Longer logs are refused: no job has so many steps, and a large ruleset takes some milliseconds for each. */
export const LONGEST_LOG = 250

const text = { type: "string" }
const name = { type: "string", minLength: 1, maxLength: 200 }
const jobId = { ...name, description: "Of the job, never the name of a person." }
const date = { type: "string", pattern: "^\\d{4}-\\d{2}-\\d{2}$", description: "ISO 8601." }
const chance = { type: "number", minimum: 0, maximum: 1 }
const amount = { type: "number", minimum: 0 }
const flag = { type: "boolean" }
const step = { type: "integer", minimum: 0, description: "Index in the log." }
const ref = (id: string) => ({ $ref: `${id}#` })
const listOf = (items: Schema) => ({ type: "array", items })

const object = (required: Schema, optional: Schema = {}) => ({
  type: "object",
  properties: { ...required, ...optional },
  required: Object.keys(required),
  additionalProperties: false,
})

const minutes = { type: "number", minimum: 0, maximum: 1e6, description: "That the step took." }
const beside = {
  minutes,
  taken: {
    type: "object",
    additionalProperties: { type: "object", additionalProperties: { type: "string" } },
    description: "The numbers that readings were worked out from, by reading and by name. They go on record.",
  },
  leftIn: { ...flag, description: "Of a swap after `stays`: whether the known-good parts stay in." },
}
const word = { enum: ["gone", "stays", "holds", "fails", "done"] }
const value = { type: ["string", "number", "boolean"] }
const cells = listOf({ type: "integer", minimum: 0 })

const act = {
  description: "What was done, by the names of the ruleset.",
  oneOf: [
    ...["test", "reading", "takeOut", "putBack", "keep", "replace", "fix"].map((kind) =>
      object({ [kind]: name }),
    ),
    ...["look", "close", "handOver"].map((kind) => object({ [kind]: { const: true } })),
  ],
}

const answer = {
  description:
    "What was found: `gone`, `stays`, `holds`, `fails` or `done`; a value like `24.1 V`, `yes` or 24.1; values by the reading's name; or cells.",
  anyOf: [value, cells, { type: "object", additionalProperties: value }],
}

const done = object(
  { act: ref("Act"), found: { anyOf: [word, cells] } },
  { said: { ...listOf(text), description: "The values as they go on record." }, ...beside },
)
const cannot = object({ cannot: ref("Act") })
const cameBack = object({ cameBack: { const: true } })

const pin = {
  version: { ...name, description: "The newest by default." },
  digest: {
    ...name,
    description: "Of the graph that the job began with: with another one nothing is answered.",
  },
}
const job = {
  ...pin,
  language: {
    ...name,
    description: "Of the texts of the answer, by its tag; by default the graph's own.",
  },
  log: {
    type: "array",
    items: ref("SentEntry"),
    maxItems: LONGEST_LOG,
    description: "What was done and found so far: the log of the answer before, and new entries.",
  },
  undo: {
    ...step,
    description: "An entry of the log to take back, with what could not have been done without it.",
  },
}

const suspect = object(
  { present: { ...chance, description: "That it was in the machine as it came in." }, active: chance },
  {
    fault: { type: "integer", minimum: 0, description: "Missing for something not listed." },
    info: ref("Fault"),
    out: { ...ref("Out"), description: "What ruled it out." },
  },
)

const by = { enum: ["graph", "model"], description: "Whether the compiled plan says so, or the model." }

const actionStep = object(
  {
    do: { enum: ["test", "takeOut", "putBack", "keep", "replace", "fix", "look", "close"] },
    by,
    act: ref("Act"),
    disturbs: { ...listOf(ref("Place")), description: "Setups that are redone on the way." },
    parts: {
      ...listOf(ref("Place")),
      description: "In the machine during it, to come out or go back in after it.",
    },
    cures: { ...listOf(ref("Suspect")), description: "What it may cure, likeliest first." },
    cautions: { ...listOf(text), description: "To be shown before anything else." },
    needs: { ...listOf(text), description: "Tools." },
    minutes: amount,
    waits: { ...amount, description: "Minutes that the machine waits while the bench is free." },
    cost: amount,
    lookCost: amount,
    tries: { type: "integer", minimum: 0, description: "Of its look; 0 where it doesn't look." },
    reads: {
      ...listOf(ref("Reading")),
      description: "The readings to answer; empty where the answer is a word.",
    },
    proofRuns: listOf(ref("ProofRun")),
    leaveIn: flag,
    outcomes: listOf(object({ found: { anyOf: [word, cells] }, label: text, chance })),
  },
  {
    test: { type: "integer" },
    part: { type: "integer" },
    fault: { type: "integer" },
    proofs: listOf({ type: "integer" }),
    info: ref("Test"),
    place: ref("Place"),
  },
)

const handover = object({
  do: { const: "handover" },
  fits: { ...flag, description: "Whether any state of the machine fits the findings." },
  atOdds: {
    ...listOf(object({ step, faults: listOf(ref("Suspect")) })),
    description: "Where none fits: findings of which any one could be the mistake.",
  },
  by,
})

const graph = object(
  { name: text, version: text, title: text, digest: { type: "string", pattern: "^sha256:[0-9a-f]{64}$" } },
  { money: { ...text, description: "ISO 4217 code; all money in the answer is in it." } },
)

const { place, fault, reading, cell, input, formula, test, proof, use, picture } = graphSchema.$defs
/** A definition of the graph's format, whose only references are to a cell, and to what a reading is worked out from. */
const ofGraph = (definition: unknown): Schema =>
  JSON.parse(
    JSON.stringify(definition)
      .replaceAll("#/$defs/cell", "Cell#")
      .replaceAll("#/$defs/input", "Input#")
      .replaceAll("#/$defs/formula", "Formula#")
      .replaceAll("#/$defs/use", "PictureUse#"),
  )
const { type: shownTypes, width, height } = picture.properties as Readonly<Record<string, Schema>>
const { $schema: _, $id: __, ...recordedCase } = caseSchema

const problem = {
  description: "Problem details, RFC 9457.",
  ...object(
    { type: text, title: text, status: { type: "integer" }, detail: text },
    { entry: { ...step, description: "The entry of the log that is to blame." } },
  ),
}

/** By the names that they have in the document. */
export const schemas: Readonly<Record<string, Schema>> = {
  Act: act,
  Answer: answer,
  Entry: { description: "One line of a job's log.", oneOf: [done, cannot, cameBack] },
  SentEntry: {
    description: "One line of a job's log, or what was found in the step that comes next.",
    oneOf: [
      object({ act: ref("Act"), found: ref("Answer") }, { said: listOf(text), ...beside }),
      object({ answer: ref("Answer") }, beside),
      cannot,
      cameBack,
    ],
  },
  JobRequest: object({}, job),
  RecordRequest: object(
    { id: jobId },
    {
      ...job,
      date,
      faults: { ...listOf(name), maxItems: 2, description: "What it turned out to be, or `unlisted`." },
      confirmed: { ...text, maxLength: 1000 },
      cameBack: flag,
    },
  ),
  SheetRequest: object(
    { kind: { enum: SHEET_KINDS } },
    {
      ...job,
      id: jobId,
      date,
      paper: { enum: PAPERS, description: "`a4` by default." },
      ownerStopsAt: {
        type: "number",
        exclusiveMinimum: 0,
        description: "What the owner wants to pay at most.",
      },
    },
  ),
  Graph: graph,
  Graphs: object({ graphs: listOf(ref("Graph")) }),
  JobAnswer: object(
    {
      graph: ref("Graph"),
      log: listOf(ref("Entry")),
      step: ref("Step"),
      outlook: ref("Outlook"),
      suspects: { ...listOf(ref("Suspect")), description: "Likeliest first." },
      standing: ref("Standing"),
    },
    { pictures: { ...listOf(ref("Picture")), description: "To be shown with the step." } },
  ),
  Picture: object(
    { address: { ...text, description: "Where this service has it." }, type: shownTypes, text },
    { width, height, caution: { ...text, description: "The caution that it belongs to." } },
  ),
  RecordAnswer: object({
    graph: ref("Graph"),
    ended: { ...flag, description: "Whether the job was closed or handed over." },
    record: ref("Record"),
  }),
  Step: {
    description: "The step to do, or that somebody else takes the machine, or that the job has ended.",
    oneOf: [actionStep, handover, object({ do: { const: "end" }, closed: flag, by })],
  },
  Outlook: {
    description: "Expected from here to the end.",
    ...object({ cost: amount, parts: amount, minutes: amount, handedOver: chance, by }),
  },
  Suspect: { description: "A fault and what is to be thought of it.", ...suspect },
  Out: object(
    { step, by: { enum: ["rule", "never", "reading", "look", "proof"] }, text },
    { rule: { type: "integer" } },
  ),
  Standing: object(
    {
      fitted: { ...listOf(ref("Place")), description: "Parts that are replaced by known-good ones now." },
      redone: listOf(ref("Place")),
      changed: { ...flag, description: "Whether the machine has changed since the last look." },
      whole: { ...chance, description: "That nothing is active." },
    },
    { gone: { ...flag, description: "At the last look; missing before the first." } },
  ),
  Place: ofGraph(place),
  Fault: ofGraph(fault),
  Reading: ofGraph(reading),
  Cell: ofGraph(cell),
  PictureUse: ofGraph(use),
  Input: ofGraph(input),
  Formula: ofGraph(formula),
  Test: ofGraph(test),
  ProofRun: ofGraph(proof),
  Record: recordedCase,
  Health: object({ status: { const: "ok" }, graphs: { type: "integer" } }),
  Problem: problem,
}
