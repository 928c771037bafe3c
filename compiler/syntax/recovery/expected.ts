import type { DeclarationSpec } from "../language/statements.ts"

/** What is due in a rule of the grammar, where something else or nothing stands. */
const WHAT: Readonly<Record<string, string>> = {
  // heads
  path: "a path in quotes",
  proofText: "a text in quotes",
  // clauses
  version: "a version in quotes",
  money: "a currency code",
  bench: "an amount",
  price: "a price",
  behind: "a setup",
  of: "a part",
  redo: "a percentage",
  place: "a part or setup",
  odds: "a number",
  shows: "a reading, or the complaint,",
  remedy: "a text in quotes",
  fix: "`costs` or `takes`",
  scale: "a number",
  unit: "a unit",
  trust: "a percentage",
  takes: "a time",
  reads: "a reading",
  swaps: "a part",
  redoes: "a setup",
  costs: "an amount",
  risks: "a part",
  needs: "a tool in quotes",
  power: "`on` or `off`",
  after: "a test",
  tries: "a number",
  caution: "a text in quotes",
  times: "a number",
  expects: "a reading",
  forPlaces: "a part or setup",
  // rules
  ruleName: "the name of the rule",
  verdict: "`rule out` or `leaves only`",
  faults: "a fault",
  anyIn: "a part or setup",
  because: "a text in quotes",
  // conditions
  subject: "a reading",
  relation: "a comparison",
  value: "a value",
  below: "a number",
  above: "a number",
  atLimit: "a number",
  extreme: "`least` or `most`",
  between: "a number",
  outside: "a number",
  // terms
  percent: "a percentage",
}

/** How it is written, where that is not the example of the clause that it stands in. */
const EXAMPLES: Readonly<Record<string, string>> = {
  ruleName: "rule rail_fine: when glow is yes",
  leaves: "leaves only panel_dead",
  anyIn: "rule out any in panel",
  except: "except panel_dead",
  verdict: "rule out supply_low",
  faults: "rule out supply_low",
  subject: "glow is yes",
  relation: "is yes` or `below 12 V",
  identity: "glow is yes",
  negation: "glow is not yes",
  choice: "is one of dim, dark",
  below: "below 12 V",
  above: "above 12 V",
  atLimit: "at least 12 V",
  between: "between 22.8 and 25.2 V",
  outside: "outside 22.8 and 25.2 V",
}

/** The rules in which a name is due that something else declares, or a value. */
export const OF_NAMES: ReadonlySet<string> = new Set(
  "behind of place shows reads swaps redoes risks after expects forPlaces anyIn faults subject value".split(
    " ",
  ),
)

/** What the text behind the name is called, by keyword; a label where it is not here. */
const TEXTS: Readonly<Record<string, string>> = {
  ruleset: "title",
  complaint: "text",
  told: "question",
  reading: "question",
  test: "instruction",
}

/** The text behind the name of a declaration, as a message calls it: `title`. */
export function textOf(spec: DeclarationSpec): string {
  return TEXTS[spec.keyword] ?? "label"
}

/** The innermost of these rules, outermost first, of which it is known what is due in it. */
export function dueIn(rules: readonly string[]): string | undefined {
  return rules.findLast((rule) => rule === "newName" || rule === "label" || rule in WHAT)
}

/** What is due in a rule. */
export function whatIsDue(rule: string | undefined, spec: DeclarationSpec): string {
  if (rule === "newName") return `the name of the ${spec.kind}`
  if (rule === "label") return `the ${textOf(spec)}`
  return WHAT[rule ?? ""] ?? "something else"
}

export function exampleIn(rules: readonly string[]): string | undefined {
  return EXAMPLES[rules.findLast((rule) => rule in EXAMPLES) ?? ""]
}
