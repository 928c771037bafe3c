import type { Name } from "../syntax-tree.ts"
import type { ConditionRule } from "./conditions.ts"
import type { NameRules } from "./names.ts"
import type { QuantityRules } from "./quantities.ts"
import type { TextRules } from "./texts.ts"
import type { Rule } from "./token-parser.ts"

/** Rules that arguments of many shapes use. */
export interface SharedRules {
  readonly texts: TextRules
  readonly quantities: QuantityRules
  readonly names: NameRules
  readonly condition: ConditionRule
  /** The tag of a language. */
  readonly language: Rule<Name>
}
