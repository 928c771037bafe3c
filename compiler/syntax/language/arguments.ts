/**
 * What can follow the words of a clause. The parser has a rule for each of these shapes, the formatter a printer and
 * completion a pattern; where one of them lacks a shape, it doesn't compile.
 */
export const ARGUMENTS = {
  nothing: { form: "", expected: "" },
  number: { form: "N", expected: "a number" },
  hourly: { form: "N per hour", expected: "an amount" },
  percent: { form: "N%", expected: "a percentage" },
  minutes: { form: "N min", expected: "a time" },
  wait: { form: "N min|h", expected: "a time" },
  text: { form: '"text"', expected: "a text in quotes" },
  picture: { form: '"path" "what it shows"', expected: "a path in quotes" },
  caution: { form: '"text"', expected: "a text in quotes" },
  currency: { form: "CODE", expected: "a currency code" },
  language: { form: "LANGUAGE", expected: "a language, like `de` or `pt-BR`" },
  onOrOff: { form: "on|off", expected: "`on` or `off`" },
  name: { form: "NAME", expected: "a name" },
  names: { form: "NAME, …", expected: "a name", isList: true },
  nameWithPercent: { form: "NAME N%", expected: "a name" },
  nameWithOptionalPercent: { form: "NAME [N%]", expected: "a name" },
  namesWithOptionalPercent: { form: "NAME [N%], …", expected: "a name", isList: true },
  yesOrNo: { form: "", expected: "`or`" },
  values: { form: "a, b, c", expected: "a value" },
  range: { form: "UNIT from N to N [by N]", expected: "a number" },
  condition: { form: "CONDITION", expected: "a reading" },
  conditionWithPercent: { form: "CONDITION N%", expected: "a comparison" },
  shows: { form: "READING CONDITION [N%]", expected: "a reading, or the complaint," },
  expects: { form: "READING CONDITION", expected: "a reading" },
  finding: { form: "READING is VALUE", expected: "a reading" },
  nameWithOutcome: { form: "NAME gone|stays", expected: "a name" },
  outcome: { form: "gone|stays", expected: "`gone` or `stays`" },
  ending: { form: "holds|fails", expected: "`holds` or `fails`" },
  standing: { form: "FAULT ruled out|at least N%|at most N%", expected: "a fault" },
  inputs: { form: 'NAME "text" in UNIT, …', expected: "a name", isList: true },
  expression: { form: "EXPRESSION", expected: "a name or a number" },
  translation: { form: '[NAME] "text" as "text"', expected: "a name or a text in quotes" },
  valueTranslation: { form: 'READING is VALUE as "text"', expected: "a reading" },
  faults: { form: "FAULTS [N%]", expected: "a fault" },
} as const satisfies Readonly<Record<string, Argument>>

export interface Argument {
  /** As the reference writes it. */
  readonly form: string
  /** As a message says it. */
  readonly expected: string
  /** The tree has a list for it. */
  readonly isList?: true
}

export type ArgumentShape = keyof typeof ARGUMENTS

/** What a name can stand for where only certain kinds can. */
export type NamedKind =
  | "ruleset"
  | "part"
  | "setup"
  | "complaint"
  | "fault"
  | "told"
  | "reading"
  | "test"
  | "rule"

/** Kinds as a form has them, where not in capitals as they are. */
const FORMS: Readonly<Record<string, string>> = { "part or setup": "PLACE" }

/** `PART`, or `PLACE` for what can be either. */
export function formOfKinds(kinds: readonly NamedKind[]): string {
  return FORMS[kinds.join(" or ")] ?? kinds[0]?.toUpperCase() ?? "NAME"
}

/** `a part or setup`. */
export function expectedKinds(kinds: readonly NamedKind[]): string {
  return `a ${kinds.join(" or ")}`
}
