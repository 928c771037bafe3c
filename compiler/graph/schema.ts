/**
 * JSON Schema (draft 2020-12) of `ruleout-graph/1`. It says what `run/graph.ts` says, for tools in other languages;
 * that every index is below the length of its list is beyond JSON Schema, and is said in the descriptions.
 */
const text = { type: "string" }
const texts = { type: "array", items: text }
const flag = { type: "boolean" }
const number = { type: "number" }
const amount = { type: "number", minimum: 0 }
const chance = { type: "number", minimum: 0, maximum: 1 }
const chances = { type: "array", items: chance }

const indexOf = (list: string) => ({ type: "integer", minimum: 0, description: `An index into \`${list}\`.` })
const indexesOf = (list: string) => ({ type: "array", items: indexOf(list) })
const ref = (name: string) => ({ $ref: `#/$defs/${name}` })
const listOf = (name: string) => ({ type: "array", items: ref(name) })
const always = (value: string | boolean) => ({ const: value })

type Fields = Readonly<Record<string, unknown>>

/** An object with these fields and no others. */
const object = (required: Fields, optional: Fields = {}, description?: string) => ({
  type: "object",
  ...(description === undefined ? {} : { description }),
  properties: { ...required, ...optional },
  required: Object.keys(required),
  additionalProperties: false,
})

const sequence = (...items: unknown[]) => ({
  type: "array",
  prefixItems: items,
  items: false,
  minItems: items.length,
})

export const graphSchema = {
  $schema: "https://json-schema.org/draft/2020-12/schema",
  $id: "urn:ruleout:graph:1",
  title: "A compiled ruleset, ruleout-graph/1",
  type: "object",
  properties: {
    format: always("ruleout-graph/1"),
    ruleset: object({
      name: text,
      title: text,
      version: text,
      source: { type: "string", pattern: "^sha256:", description: "Digest of the source files." },
      compiler: text,
    }),
    money: { type: "string", description: "ISO 4217 code; all money in the graph is in it." },
    bench: { ...amount, description: "Money per hour at the bench." },
    comeback: { ...amount, description: "Money that a wrong verdict costs." },
    handover: { ...amount, description: "Money that handing over costs." },
    trust: { ...chance, description: "A verdict is given only at this chance or above." },
    complaint: object({ name: text, text }),
    places: listOf("place"),
    faults: listOf("fault"),
    readings: listOf("reading"),
    tests: listOf("test"),
    rules: listOf("rule"),
    proofs: listOf("proof"),
    start: indexOf("nodes"),
    nodes: { type: "array", minItems: 1, items: ref("node"), description: "Without a cycle." },
    expected: object(
      { total: amount, tests: amount, minutes: amount, steps: amount, wrong: chance, handover: chance },
      {},
      "Of the whole plan, per job: money, minutes, steps; `wrong` and `handover` are chances.",
    ),
    proof: object(
      { exact: flag, lower: amount },
      {},
      "`lower` bounds the expected total of every plan; equal to it where `exact`.",
    ),
    model: ref("model"),
    seal: object(
      { digest: { type: "string", pattern: "^sha256:[0-9a-f]{64}$" } },
      { signature: { type: "string", pattern: "^ed25519:[A-Za-z0-9+/]{86}==$" } },
      "Over all other fields, in the spelling of RFC 8785.",
    ),
  },
  required: [
    "format",
    "ruleset",
    "money",
    "bench",
    "comeback",
    "handover",
    "trust",
    "complaint",
    "places",
    "faults",
    "readings",
    "tests",
    "rules",
    "proofs",
    "start",
    "nodes",
    "expected",
    "proof",
    "model",
  ],
  $defs: {
    place: object(
      { name: text, label: text, kind: { enum: ["part", "setup"] } },
      { price: amount, spare: flag, of: indexOf("places"), behind: indexesOf("places") },
    ),
    fault: object(
      { name: text, label: text, place: indexOf("places"), odds: amount },
      { remedy: text, fixCosts: amount, fixTakes: amount },
    ),
    reading: {
      ...object(
        { name: text, question: text, told: flag, cells: { type: "array", minItems: 1, items: ref("cell") } },
        { unit: text, from: number, to: number, by: { type: "number", exclusiveMinimum: 0 } },
        "A quantity has `unit`, `from`, `to` and `by`: its meter shows from, from + by, … to.",
      ),
      dependentRequired: { unit: ["from", "to", "by"], from: ["unit"], to: ["unit"], by: ["unit"] },
    },
    cell: {
      oneOf: [
        object({ label: text, values: { ...texts, minItems: 1 } }),
        object(
          { label: text, from: number, to: number },
          {},
          "From its first to its last value, both included.",
        ),
      ],
    },
    test: object(
      {
        name: text,
        instruction: text,
        kind: { enum: ["reads", "swaps", "redoes", "told"] },
        minutes: amount,
        cost: { ...amount, description: "Money, bench time and risks included." },
        needs: texts,
        cautions: texts,
      },
      { power: { enum: ["on", "off"] }, after: indexesOf("tests") },
    ),
    rule: object({ line: { type: "integer", minimum: 1 } }, { name: text, because: text }),
    proof: object(
      { text, times: { type: "integer", minimum: 1 }, minutes: amount },
      {
        expects: object({ reading: indexOf("readings"), cells: indexesOf("that reading's cells") }),
        places: {
          ...indexesOf("places"),
          description: "The places it is for; for every verdict where missing.",
        },
      },
    ),
    node: {
      oneOf: [
        object(
          { do: always("test"), test: indexOf("tests"), cost: amount, edges: listOf("edge") },
          {
            putBack: { const: true, description: "The part that the test fitted goes back to the old one." },
          },
        ),
        object({
          do: always("verdict"),
          remedy: ref("remedy"),
          chance,
          candidates: listOf("candidate"),
          proofs: indexesOf("proofs"),
        }),
        object({ do: always("handover"), candidates: listOf("candidate") }),
        object(
          { do: always("advise") },
          {},
          "Too unlikely to plan ahead: the runner goes on from the model.",
        ),
      ],
    },
    edge: object({
      cells: {
        oneOf: [
          { enum: ["gone", "stays"] },
          {
            ...indexesOf("the reading's cells"),
            minItems: 1,
            description: "One cell for each reading of the test.",
          },
        ],
      },
      chance,
      to: indexOf("nodes"),
      rulesOut: { ...indexesOf("faults"), description: "Faults whose weight went to zero here." },
      because: { ...indexesOf("rules"), description: "Rules that acted here." },
    }),
    remedy: {
      oneOf: [
        object({ kind: { enum: ["replace", "redo"] }, place: indexOf("places") }),
        object({ kind: always("done") }, {}, "Mended already by what was redone."),
      ],
    },
    candidate: object({ fault: indexOf("faults"), chance }, { cured: { const: true } }),
    model: object(
      {
        healthy: { type: "array", items: chances, description: "By reading, over its cells." },
        recurs: { ...chances, description: "By fault: chance that the complaint is seen in one try." },
        shows: {
          type: "array",
          items: { type: "array", items: sequence(indexOf("readings"), chances) },
          description:
            "By fault: the readings on which it differs from the healthy machine, over their cells.",
        },
        tests: listOf("meaning"),
        rules: { type: "array", items: object({ when: ref("condition"), out: indexesOf("faults") }) },
        nevers: listOf("condition"),
      },
      {},
      "The whole of the ruleset's meaning, in numbers: what is needed to go on from findings in another order.",
    ),
    meaning: object(
      {},
      {
        reads: indexesOf("readings"),
        part: indexOf("places"),
        redoes: {
          type: "array",
          items: sequence(indexOf("places"), chance),
          description: "Each setup redone, and the chance that this cures a fault in it.",
        },
        tries: { type: "integer", minimum: 1 },
        onlyIf: ref("condition"),
      },
    ),
    condition: {
      oneOf: [
        sequence(always("in"), indexOf("readings"), indexesOf("that reading's cells")),
        { type: "array", prefixItems: [{ enum: ["and", "or"] }], items: ref("condition"), minItems: 1 },
        sequence(always("not"), ref("condition")),
      ],
    },
  },
}
