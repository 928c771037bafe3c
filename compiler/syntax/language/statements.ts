import type { DeclarationSpec } from "./declaration-specs.ts"
import { fault, reading, told } from "./faults-and-readings.ts"
import { complaint, part, ruleset, setup, use } from "./machine.ts"
import { scenario } from "./scenarios.ts"
import { never, proof, rule, test, when } from "./tests-and-rules.ts"
import { texts } from "./texts.ts"

/**
 * The language as data: which declarations there are, which clauses each can have, how each is written, and what it
 * says. Parser, formatter, completion, highlighting, messages and the forms in the reference follow from it.
 */
export const DECLARATIONS: readonly DeclarationSpec[] = [
  ruleset,
  use,
  part,
  setup,
  complaint,
  fault,
  told,
  reading,
  test,
  when,
  rule,
  never,
  proof,
  scenario,
  texts,
]
