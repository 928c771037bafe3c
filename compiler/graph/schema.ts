/**
 * JSON Schema (draft 2020-12) of `ruleout-graph/2`. It says what `run/graph.ts` says, for tools in other languages;
 * that every index is below the length of its list is beyond JSON Schema, and is said in the descriptions.
 */
const text = { type: "string" }
const time = { type: "string", pattern: "^\\d{4}-\\d{2}-\\d{2}T\\d{2}:\\d{2}:\\d{2}Z$" }
const texts = { type: "array", items: text }
const tag = { type: "string", description: "A language, by its tag in BCP 47." }
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

const fields = (names: readonly string[], shape: unknown): Fields =>
  Object.fromEntries(names.map((name) => [name, shape]))

const sequence = (...items: unknown[]) => ({
  type: "array",
  prefixItems: items,
  items: false,
  minItems: items.length,
})

const pixels = { type: "integer", minimum: 1 }
const uses = { ...listOf("use"), minItems: 1 }
/** Of each entry of a list what it says in another language. */
const textsOf = (list: string, texts: Fields) => ({
  type: "array",
  items: object({}, texts),
  description: `By the same indexes as \`${list}\`.`,
})

const captions = textsOf("the pictures there", { text })

const maybe = (name: string) => ({ oneOf: [ref(name), { type: "null" }] })
const spreads = { type: "array", items: chances }
const redoings = { type: "array", items: { type: "array", items: sequence(indexOf("places"), chance) } }
const step = (action: Fields) => object({ ...action, cost: amount, costToGo: amount, edges: listOf("edge") })

export const graphSchema = {
  $schema: "https://json-schema.org/draft/2020-12/schema",
  $id: "urn:ruleout:graph:2",
  title: "A compiled ruleset, ruleout-graph/2",
  type: "object",
  properties: {
    format: always("ruleout-graph/2"),
    ruleset: object(
      {
        name: text,
        title: text,
        version: text,
        source: { type: "string", pattern: "^sha256:", description: "Digest of the source files." },
        compiler: text,
      },
      { language: { ...tag, description: "Of the texts of this graph; `en` where it is missing." } },
    ),
    money: { type: "string", description: "ISO 4217 code; all money in the graph is in it." },
    bench: { ...amount, description: "Money per hour at the bench." },
    waiting: { ...amount, description: "Money per hour that a machine waits." },
    comeback: { ...amount, description: "Money that a machine which comes back costs." },
    handover: { ...amount, description: "Money that handing over costs." },
    trust: { ...chance, description: "A job is closed only where nothing is active with this chance." },
    second: { ...chance, description: "Chance that a machine has two listed faults." },
    unlisted: { ...chance, description: "Chance that what is wrong is not listed." },
    complaint: object({ name: text, text }),
    places: listOf("place"),
    faults: listOf("fault"),
    readings: listOf("reading"),
    tests: listOf("test"),
    rules: listOf("rule"),
    proofs: listOf("proof"),
    pictures: { ...listOf("picture"), minItems: 1, description: "They decide nothing." },
    start: indexOf("nodes"),
    nodes: { type: "array", minItems: 1, items: ref("node"), description: "Without a cycle." },
    expected: object(
      {
        total: { ...amount, description: "The sum of the seven fields after it." },
        ...fields(["tests", "parts", "repairs", "proof", "comebacks", "handover", "waiting"], amount),
        ...fields(["minutes", "steps"], amount),
        ...fields(["comesBack", "handedOver"], chance),
        wasted: { ...amount, description: "Money for parts bought in which no fault was present." },
        struck: { ...amount, description: "Weight that rules took." },
        forbidden: { ...amount, description: "Weight that nevers took of the rest." },
        unavoidable: {
          ...amount,
          description: "What the same jobs cost somebody who knows the state from the start.",
        },
      },
      {},
      "Of the whole plan, per job: money, minutes of work, steps, chances.",
    ),
    proof: object(
      { exact: flag, lower: amount },
      {},
      "`lower` bounds the expected total of every plan; equal to it where `exact`.",
    ),
    model: ref("model"),
    languages: {
      ...listOf("texts"),
      description: "The texts in other languages; what is missing isn't translated.",
    },
    seal: object(
      { digest: { type: "string", pattern: "^sha256:[0-9a-f]{64}$" } },
      {
        key: { type: "string", pattern: "^[0-9a-f]{16}$" },
        purpose: text,
        at: time,
        expires: time,
        signature: { type: "string", pattern: "^ed25519:[A-Za-z0-9+/]{86}==$" },
      },
      "The digest is over all other fields of the graph, the signature over those of the seal, in the spelling of RFC 8785.",
    ),
  },
  required: [
    ...[
      "format",
      "ruleset",
      "money",
      "bench",
      "waiting",
      "comeback",
      "handover",
      "trust",
      "second",
      "unlisted",
    ],
    ...[
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
    ],
    ...["proof", "model"],
  ],
  $defs: {
    place: object(
      { name: text, label: text, kind: { enum: ["part", "setup"] } },
      { price: amount, spare: flag, of: indexOf("places"), behind: indexesOf("places"), pictures: uses },
    ),
    fault: object(
      { name: text, label: text, place: indexOf("places"), odds: amount },
      { remedy: text, pictures: uses },
    ),
    reading: {
      ...object(
        { name: text, question: text, told: flag, cells: { type: "array", minItems: 1, items: ref("cell") } },
        {
          unit: text,
          from: number,
          to: number,
          by: { type: "number", exclusiveMinimum: 0 },
          takes: { type: "array", minItems: 1, items: ref("input") },
          gives: ref("formula"),
          pictures: uses,
        },
        "A quantity has `unit`, `from`, `to` and `by`: its meter shows from, from + by, … to.",
      ),
      dependentRequired: {
        unit: ["from", "to", "by"],
        from: ["unit"],
        to: ["unit"],
        by: ["unit"],
        takes: ["gives"],
        gives: ["takes", "unit"],
      },
    },
    input: object(
      { name: text, question: text, unit: text },
      {},
      "A number taken at the bench, from which the reading is worked out. A runner may ask for the result instead.",
    ),
    formula: {
      description: "In the units of `takes` and of the reading. `take` has a place in `takes`.",
      oneOf: [
        number,
        sequence({ const: "take" }, { type: "integer", minimum: 0 }),
        sequence({ enum: ["+", "-", "*", "/"] }, ref("formula"), ref("formula")),
      ],
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
        kind: { enum: ["reads", "swaps", "redoes", "removes", "told"] },
        minutes: amount,
        cost: { ...amount, description: "Money, bench time, risks and waiting included; its look is not." },
        needs: texts,
        cautions: texts,
      },
      {
        waits: { ...amount, description: "Minutes that the machine waits while the bench is free." },
        power: { enum: ["on", "off"] },
        after: { ...indexesOf("tests"), description: "All of them must have been done." },
        afterAny: { ...indexesOf("tests"), description: "One of them must have been done." },
        pictures: uses,
      },
    ),
    picture: object(
      {
        digest: { type: "string", pattern: "^sha256:[0-9a-f]{64}$" },
        type: { enum: ["image/png", "image/jpeg", "image/webp", "image/svg+xml"] },
      },
      { width: pixels, height: pixels },
      "Its bytes come beside the graph, by their digest. A drawing has no scripts, and nothing in it is loaded.",
    ),
    use: object(
      { picture: indexOf("pictures"), text: { ...text, description: "What it shows." } },
      { caution: { ...indexOf("that test's cautions"), description: "It belongs to this caution." } },
    ),
    rule: object({ line: { type: "integer", minimum: 1 } }, { name: text, because: text }),
    proof: object(
      { text, times: { type: "integer", minimum: 1 }, minutes: amount },
      {
        expects: object({ reading: indexOf("readings"), cells: indexesOf("that reading's cells") }),
        places: {
          ...indexesOf("places"),
          description: "It counts in jobs that did something to one of them; in every job where missing.",
        },
      },
    ),
    node: {
      oneOf: [
        step({ do: always("test"), test: indexOf("tests") }),
        step({ do: { enum: ["takeOut", "putBack", "keep", "replace"] }, part: indexOf("places") }),
        step({ do: always("fix"), fault: indexOf("faults") }),
        step({ do: always("look") }),
        step({ do: always("close"), proofs: indexesOf("proofs") }),
        object({ do: always("handover"), candidates: listOf("candidate") }),
        object(
          { do: always("advise"), costToGo: amount },
          {},
          "Too unlikely to plan ahead: the runner goes on from the model.",
        ),
      ],
    },
    edge: object(
      {
        on: {
          oneOf: [
            { enum: ["gone", "stays", "holds", "fails", "done"] },
            {
              ...indexesOf("the reading's cells"),
              minItems: 1,
              description: "One cell for each reading of the test.",
            },
          ],
        },
        chance,
        rulesOut: {
          ...indexesOf("faults"),
          description: "Faults that could be present before and cannot be any more.",
        },
        because: { ...indexesOf("rules"), description: "Rules that acted here." },
      },
      {
        to: { ...indexOf("nodes"), description: "Missing where the job ends." },
        leaveIn: { const: true, description: "After `stays` of a swap: the known-good parts stay in." },
      },
    ),
    candidate: object(
      { present: chance, active: chance },
      { fault: indexOf("faults") },
      "Chances that it was in the machine as it came in, and that it is active now; without `fault` it is something not listed.",
    ),
    work: object(
      { minutes: amount, cost: amount, waits: amount },
      {
        test: {
          ...indexOf("tests"),
          description: "The test whose work it is, where the ruleset says nothing of its own.",
        },
        after: { ...indexesOf("tests"), description: "All of them must have been done." },
        afterAny: { ...indexesOf("tests"), description: "One of them must have been done." },
        onlyIf: ref("condition"),
      },
    ),
    model: object(
      {
        complaint: object({ minutes: amount, tries: { type: "integer", minimum: 1 } }),
        base: { ...spreads, description: "By reading: the base measure over its cells." },
        healthy: { ...spreads, description: "By reading, over its cells, without trust." },
        trust: { ...chances, description: "By reading: 1 but for told questions." },
        recurs: { ...chances, description: "By fault: chance that the complaint is seen in one try." },
        shows: {
          type: "array",
          items: { type: "array", items: sequence(indexOf("readings"), chances) },
          description: "By fault: the readings that it speaks of, over their cells, without trust.",
        },
        eased: { ...redoings, description: "By fault: setups, not its own, that cure it too." },
        reach: {
          ...redoings,
          description: "By place: setups redone when a part is reached, or when this setup is redone.",
        },
        replace: {
          type: "array",
          items: maybe("work"),
          description: "By place: what fitting a bought part takes, without its price; null for a setup.",
        },
        fix: {
          type: "array",
          items: maybe("work"),
          description: "By fault: what fixing it takes; null where that is no action.",
        },
        tests: listOf("meaning"),
        rules: {
          type: "array",
          items: object({
            when: ref("condition"),
            verb: { enum: ["rule out", "leaves only"] },
            of: indexesOf("faults"),
            chance: { ...chance, description: "What it acts on keeps the rest of 1." },
          }),
        },
        nevers: listOf("condition"),
      },
      {},
      "The whole of the ruleset's meaning, in numbers: what is needed to go on from findings in another order.",
    ),
    meaning: object(
      {},
      {
        reads: indexesOf("readings"),
        parts: { ...indexesOf("places"), description: "Parts swapped or removed." },
        redoes: {
          type: "array",
          items: sequence(indexOf("places"), chance),
          description:
            "Each setup redone, what reaching the parts redoes included, and the chance that this cures.",
        },
        tries: { type: "integer", minimum: 1, description: "Of its look; missing where it does not look." },
        onlyIf: ref("condition"),
      },
    ),
    texts: object(
      { language: tag },
      {
        ruleset: object({}, { title: text }),
        complaint: object({}, { text }),
        places: textsOf("places", { label: text, pictures: captions }),
        faults: textsOf("faults", { label: text, remedy: text, pictures: captions }),
        readings: textsOf("readings", {
          question: text,
          takes: textsOf("that reading's numbers", { question: text }),
          cells: textsOf("that reading's cells", { label: text }),
          pictures: captions,
        }),
        tests: textsOf("tests", { instruction: text, needs: texts, cautions: texts, pictures: captions }),
        rules: textsOf("rules", { because: text }),
        proofs: textsOf("proofs", { text }),
      },
      "The texts of this graph in another language, each where it stands in the graph.",
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
