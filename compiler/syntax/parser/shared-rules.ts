import type { ConditionRule } from "./conditions.ts"
import type { NameRules } from "./names.ts"
import type { QuantityRules } from "./quantities.ts"
import type { TextRules } from "./texts.ts"

/** Rules that arguments of many shapes use. */
export interface SharedRules {
  readonly texts: TextRules
  readonly quantities: QuantityRules
  readonly names: NameRules
  readonly condition: ConditionRule
}
