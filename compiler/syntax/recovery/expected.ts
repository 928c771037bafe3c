import { expectedKinds } from "../language/arguments.ts"
import type { DeclarationProblems } from "./declaration-problems.ts"

/** What the grammar could not go on without: a word or sign, in backticks; or something in one of its rules. */
export interface Unmet {
  readonly word?: string
  readonly rule?: string
}

interface Expected {
  /** As a message says it: `a setup`. */
  readonly what: string
  readonly example: string
  /** It is a name that something else declares, or a value. */
  readonly isName: boolean
}

/** What is expected in a rule of the grammar that more than one clause uses, or that is outside of clauses. */
const IN_RULES: Readonly<Record<string, { what: string; example?: string; isName?: true }>> = {
  path: { what: "a path in quotes" },
  shown: { what: "what the picture shows, in quotes" },
  proofText: { what: "a text in quotes" },
  scenarioText: { what: "a text in quotes" },
  seen: { what: "`gone` or `stays`" },
  passed: { what: "`holds` or `fails`" },
  bound: { what: "`ruled out`, `at least` or `at most`", example: "expects supply_low at most 5%" },
  newRuleName: { what: "the name of the rule", example: "rule rail_fine: when glow is yes" },
  verb: { what: "`rule out` or `leaves only`", example: "rule out supply_low" },
  leavesOnly: { what: "`only`", example: "leaves only panel_dead" },
  anyIn: { what: expectedKinds(["part", "setup"]), example: "rule out any in panel", isName: true },
  except: { what: "a fault", example: "except panel_dead", isName: true },
  faultsItem: { what: "a fault", example: "rule out supply_low", isName: true },
  subject: { what: "a reading", example: "glow is yes", isName: true },
  relation: { what: "a comparison", example: "is yes` or `below 12 V" },
  value: { what: "a value", isName: true },
  identity: { what: "a value", example: "glow is yes", isName: true },
  negation: { what: "a value", example: "glow is not yes", isName: true },
  choice: { what: "a value", example: "is one of dim, dark", isName: true },
  below: { what: "a number", example: "below 12 V" },
  above: { what: "a number", example: "above 12 V" },
  atLimit: { what: "a number", example: "at least 12 V" },
  extreme: { what: "`least` or `most`", example: "at least 12 V" },
  between: { what: "a number", example: "between 22.8 and 25.2 V" },
  outside: { what: "a number", example: "outside 22.8 and 25.2 V" },
  percent: { what: "a percentage" },
  operand: { what: "a name or a number", example: "gives supply_end - load_end" },
  newUnit: { what: "a unit" },
  language: { what: "a language", example: "texts de" },
  as: { what: "`as`", example: 'says supply "24 V supply" as "24-V-Netzteil"' },
}

/** What is expected in the innermost of some rules, outermost first, of which that is known; else by the clause. */
export function expectedIn(rules: readonly string[], problems: DeclarationProblems): Expected {
  const { spec, clause } = problems
  const rule = rules.findLast((each) => each === "newName" || each === "label" || each in IN_RULES)
  const example = IN_RULES[rules.findLast((each) => IN_RULES[each]?.example !== undefined) ?? ""]?.example
  if (rule === "newName")
    return { what: `the name of the ${spec.kind}`, example: spec.example, isName: false }
  if (rule === "label") return { what: `the ${spec.text}`, example: spec.example, isName: false }
  if (rule !== undefined) {
    const { what = "something else", isName = false } = IN_RULES[rule] ?? {}
    return { what, example: example ?? problems.example, isName }
  }
  const what = clause?.expected ?? "something else"
  return { what, example: example ?? problems.example, isName: (clause?.names.length ?? 0) > 0 }
}
