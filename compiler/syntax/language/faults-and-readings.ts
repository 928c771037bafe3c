import type { FaultDecl, ReadDecl, ToldDecl } from "../syntax-tree.ts"
import { declarationSpec } from "./declaration-specs.ts"
import { gate, picture, takes } from "./shared-clauses.ts"

const fixGate = gate("fix ", " it is fixed")

export const fault = declarationSpec<FaultDecl>(
  "fault",
  "label",
  'fault supply_low "supply sags under load"',
  "something that can be wrong, and where",
  {
    place: {
      words: "in",
      argument: "name",
      names: ["part", "setup"],
      example: "in supply",
      says: "the part or setup that it is in",
      required: true,
      implied: "name",
    },
    odds: {
      words: "odds",
      argument: "number",
      example: "odds 6",
      says: "how frequent it is compared with the others",
      required: true,
      implied: "number",
    },
    shows: {
      words: "shows",
      argument: "shows",
      names: ["reading", "told", "complaint"],
      example: "shows rail below 22.7 V 90%",
      says: "what is found while it is active",
      repeats: true,
      place: "own",
    },
    remedy: {
      words: "remedy",
      argument: "text",
      example: 'remedy "Seat both ends."',
      says: "how it is repaired",
      place: "own",
    },
    fixCosts: {
      words: "fix costs",
      argument: "number",
      expected: "an amount",
      example: "fix costs 12",
      says: "what it costs to fix it, besides the time",
      place: "below",
    },
    fixTakes: {
      words: "fix takes",
      argument: "minutes",
      example: "fix takes 15 min",
      says: "how long it takes to fix it",
      place: "below",
    },
    fixWaits: {
      words: "fix waits",
      argument: "wait",
      example: "fix waits 24 h",
      says: "how long the machine then waits while the bench is free",
      place: "below",
    },
    fixAfter: fixGate.after,
    fixAfterAny: fixGate.afterAny,
    fixOnlyIf: fixGate.onlyIf,
    eased: {
      words: "eased by",
      argument: "nameWithOptionalPercent",
      names: ["setup"],
      example: "eased by rear_cover 30%",
      says: "a setup that cures it too when it is redone",
      repeats: true,
      place: "own",
    },
    pictures: picture,
  },
)

const type = [
  {
    words: "yes or no",
    argument: "yesOrNo",
    example: "yes or no",
    says: "is answered yes or no",
    group: "type",
  },
  {
    words: "one of",
    argument: "values",
    example: "one of dark, dim, bright",
    says: "is one of these words",
    group: "type",
    implied: "values",
  },
  {
    words: "in",
    argument: "range",
    example: "in V from 0 to 30 by 0.01",
    says: "is a number: its unit, its range, and the meter's resolution",
    group: "type",
    implied: "range",
  },
] as const

const normally = {
  words: "normally",
  argument: "conditionWithPercent",
  example: "normally is yes 98%",
  says: "what is found on a healthy machine",
  place: "own",
} as const

export const told = declarationSpec<ToldDecl>(
  "told",
  "question",
  'told moved "Was it moved just before?" yes or no',
  "a question to the owner, about the machine as it came in",
  {
    type,
    normally: { ...normally, example: "normally is yes 20%", says: "what owners say of a healthy machine" },
    trust: {
      words: "trust",
      argument: "percent",
      example: "trust 80%",
      says: "how far the owner's answer can be trusted",
      implied: "percent",
    },
    takes,
    pictures: picture,
  },
)

export const reading = declarationSpec<ReadDecl>(
  "reading",
  "question",
  'reading glow "Any glow from the backlight?" yes or no',
  "something read off the machine as it stands",
  {
    type,
    inputs: {
      words: "takes",
      argument: "inputs",
      example: 'takes supply_end "At the supply" in V, load_end "At the plug" in V',
      says: "numbers taken at the bench, from which it is worked out",
      place: "own",
    },
    gives: {
      words: "gives",
      argument: "expression",
      example: "gives supply_end - load_end",
      says: "how it is worked out from them, with + - * / and parentheses",
      place: "own",
    },
    normally,
    pictures: picture,
  },
)
