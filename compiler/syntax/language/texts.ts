import type { TextsDecl } from "../syntax-tree.ts"
import type { NamedKind } from "./arguments.ts"
import { clauseSpecs } from "./clause-specs.ts"
import type { DeclarationSpec } from "./declaration-specs.ts"

/** Words that only texts have, besides `texts` itself. Elsewhere they can be names. */
export const TEXTS_WORDS = "says value as"

const entry = { argument: "translation", repeats: true, place: "own" } as const
const HEADED: readonly NamedKind[] = [
  "ruleset",
  "part",
  "setup",
  "complaint",
  "fault",
  "told",
  "reading",
  "test",
]

export const texts: DeclarationSpec = {
  kind: "texts",
  keyword: "texts",
  head: "LANGUAGE",
  example: "texts de",
  says: "the texts of the ruleset in another language, each next to the text that it translates",
  clauses: clauseSpecs<TextsDecl>({
    says: {
      ...entry,
      words: "says",
      names: HEADED,
      form: 'says [NAME] "text" as "text"',
      example: 'says supply "24 V supply" as "24-V-Netzteil"',
      says: "the text in the head of a declaration: title, label, question, instruction; without a name that of a proof",
    },
    values: {
      words: "value",
      argument: "valueTranslation",
      names: ["reading", "told"],
      repeats: true,
      place: "own",
      example: 'value glow is dim as "schwach"',
      says: "one of the words that a reading can be",
    },
    remedies: {
      ...entry,
      words: "remedy",
      names: ["fault"],
      form: 'remedy [FAULT] "text" as "text"',
      example: 'remedy ribbon_loose "Seat both ends." as "Beide Enden einstecken."',
      says: "how a fault is repaired",
    },
    inputs: {
      ...entry,
      words: "takes",
      names: ["reading"],
      form: 'takes [READING] "text" as "text"',
      example: 'takes drop "At the supply" as "Am Netzteil"',
      says: "what is asked for a number that a reading is worked out from",
    },
    tools: {
      ...entry,
      words: "needs",
      names: ["test"],
      form: 'needs [TEST] "tool" as "text"',
      example: 'needs "multimeter" as "Multimeter"',
      says: "a tool; without a name in all tests that need it",
    },
    hazards: {
      ...entry,
      words: "caution",
      names: ["test"],
      form: 'caution [TEST] "text" as "text"',
      example: 'caution meter_rail "Live plug." as "Stecker unter Spannung."',
      says: "what can hurt",
    },
    captions: {
      ...entry,
      words: "picture",
      names: ["part", "setup", "fault", "told", "reading", "test"],
      form: 'picture [NAME] "text" as "text"',
      example: 'picture meter_rail "the probe on pin 3" as "die Prüfspitze an Stift 3"',
      says: "what a picture shows",
    },
    reasons: {
      ...entry,
      words: "because",
      names: ["rule"],
      form: 'because [RULE] "reason" as "text"',
      example: 'because "a rail inside 5 % clears it" as "eine Spannung innerhalb von 5 % entlastet es"',
      says: "the reason of a rule",
    },
  }),
}
