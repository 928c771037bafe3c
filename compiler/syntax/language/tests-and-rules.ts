import type { ProofDecl, RuleDecl, TestDecl } from "../syntax-tree.ts"
import { clauseSpecs } from "./clause-specs.ts"
import { type DeclarationSpec, declarationSpec } from "./declaration-specs.ts"
import { gate, picture, takes, tries } from "./shared-clauses.ts"

const testGate = gate("", "")

export const test = declarationSpec<TestDecl>(
  "test",
  "instruction",
  'test meter_rail "Meter the rail at the driver plug"',
  "something to do at the bench",
  {
    reads: {
      words: "reads",
      argument: "names",
      names: ["reading"],
      example: "reads rail",
      says: "the readings that it takes",
      group: "kind",
    },
    swaps: {
      words: "swaps",
      argument: "names",
      names: ["part"],
      example: "swaps panel",
      says: "fits known-good parts",
      group: "kind",
    },
    redoes: {
      words: "redoes",
      argument: "namesWithOptionalPercent",
      names: ["setup"],
      example: "redoes ribbon 85%",
      says: "redoes setups",
      group: "kind",
      // A swap may redo more than what comes with the work.
      beside: "swaps",
    },
    removes: {
      words: "removes",
      argument: "names",
      names: ["part"],
      example: "removes driver",
      says: "tries the machine without parts, and puts them back in",
      group: "kind",
    },
    takes,
    waits: {
      words: "waits",
      argument: "wait",
      example: "waits 2 h",
      says: "how long the machine works, cools or dries alone while the bench is free",
    },
    costs: {
      words: "costs",
      argument: "number",
      expected: "an amount",
      example: "costs 3",
      says: "what it costs besides the time",
    },
    risks: {
      words: "risks",
      argument: "nameWithPercent",
      names: ["part"],
      example: "risks panel 2%",
      says: "how often it breaks a part",
      repeats: true,
    },
    power: {
      words: "power",
      argument: "onOrOff",
      example: "power off",
      says: "whether the machine is on during the test",
    },
    needs: {
      words: "needs",
      argument: "text",
      form: 'needs "tool"',
      expected: "a tool in quotes",
      example: 'needs "multimeter"',
      says: "a tool",
      repeats: true,
    },
    tries,
    after: testGate.after,
    afterAny: testGate.afterAny,
    onlyIf: { ...testGate.onlyIf, example: "only if glow is yes" },
    pictures: picture,
    cautions: {
      words: "caution",
      argument: "caution",
      example: 'caution "Live plug: one hand, insulated probes."',
      says: "what can hurt; pictures right after it are the caution's",
      repeats: true,
      place: "own",
    },
  },
)

const ruleClauses = clauseSpecs<RuleDecl>({
  faults: [
    {
      words: "rule out",
      argument: "faults",
      example: "rule out supply_low 90%",
      says: "none of these faults is there; with a percentage, as far as the rule is trusted",
    },
    {
      words: "leaves only",
      argument: "faults",
      example: "leaves only any in panel, supply_low",
      says: "one of these faults is there; with a percentage, as far as the rule is trusted",
    },
  ],
  because: {
    words: "because",
    argument: "text",
    form: 'because "reason"',
    example: 'because "a rail inside 5 % clears it"',
    says: "why, for whoever reads it",
    place: "own",
  },
})

export const when: DeclarationSpec = {
  kind: "rule",
  keyword: "when",
  head: "CONDITION",
  example: "when glow is yes",
  says: "what findings rule out",
  clauses: ruleClauses,
}

export const rule: DeclarationSpec = {
  kind: "rule",
  keyword: "rule",
  head: "NAME: when CONDITION",
  example: "rule rail_fine: when glow is yes",
  says: "a rule with a name",
  clauses: ruleClauses,
}

export const never: DeclarationSpec = {
  kind: "never",
  keyword: "never",
  head: "CONDITION",
  example: "never glow is yes and rail below 9 V",
  says: "findings that cannot occur together",
  clauses: [],
}

export const proof: DeclarationSpec = {
  kind: "proof",
  keyword: "proof",
  head: '"text"',
  example: 'proof "Power it up cold"',
  says: "what must hold before the machine goes back",
  clauses: clauseSpecs<ProofDecl>({
    times: { words: "times", argument: "number", example: "times 5", says: "how often in a row" },
    takes,
    expects: {
      words: "expects",
      argument: "expects",
      names: ["reading"],
      example: "expects rail above 22.8 V",
      says: "what must then be read",
    },
    places: {
      words: "for",
      argument: "names",
      names: ["part", "setup"],
      example: "for panel, ribbon",
      says: "only if something was done to one of these",
    },
  }),
}
