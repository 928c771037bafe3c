import { type Diagnostic, diagnostic, type Edit } from "../../diagnostics/diagnostic.ts"
import { at } from "../../run/lookup.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { conditionSource, conditionText } from "../condition-text.ts"
import type { Context } from "../context.ts"
import type { Formula } from "../logic/formula.ts"
import { type UngatedRepair, ungatedRepairs } from "../proofs/ungated-repairs.ts"

export const ungatedRepair: Check = {
  code: "ungated-repair",
  severity: "warning",
  summary: "A repair that does a test's work without the test's `only if`.",
  explain: `A test has an \`only if\` because its work is dangerous or impossible otherwise. The same work as a repair, fixing a fault or
fitting a new part, may be done at any time, unless the repair has clauses of its own. The plan goes that way if it is
cheaper. Give the repair the same condition with \`fix only if\` or \`fit only if\`, or the condition under which it is safe.`,
  example: `setup arm_spring "spring of the arm"
fault spring_slack "spring slack"  in arm_spring  odds 1
  shows rail below 22 V 90%
test tighten_spring "Tighten the spring by two turns"  redoes arm_spring  takes 8 min  power off
  only if rail below 22 V`,
  fixed: `setup arm_spring "spring of the arm"
fault spring_slack "spring slack"  in arm_spring  odds 1
  shows rail below 22 V 90%
  fix only if rail below 22 V
test tighten_spring "Tighten the spring by two turns"  redoes arm_spring  takes 8 min  power off
  only if rail below 22 V`,
  *run(context) {
    for (const ungated of ungatedRepairs(context.model)) yield found(context, ungated)
  },
}

function found(context: Context, { repair, tests }: UngatedRepair): Diagnostic {
  const { model } = context
  const isFix = repair.kind === "fix"
  const { name, span } = isFix ? at(model.faults, repair.fault) : at(model.places, repair.part)
  const formulas = tests.map(({ onlyIf }) => context.formula(onlyIf))
  const clauses = [
    ...new Set(formulas.map((each) => `${isFix ? "fix" : "fit"} only if ${conditionSource(model, each)}`)),
  ]
  const [clause = ""] = clauses
  const title = `hold it back too: \`${clause}\``
  const end = { file: span.file, start: span.end, end: span.end }
  const edit: Edit = { title, safe: false, changes: [{ span: end, text: `\n  ${clause}` }] }
  const names = listed(
    tests.map((test) => backticked(test.name)),
    "or",
  )
  return diagnostic(
    "warning",
    "ungated-repair",
    span,
    `${isFix ? "Fixing" : "Replacing"} ${backticked(name)} does the work of ${names}, but isn't held back as the test is.`,
    {
      labels: tests.map(({ onlyIf }, i) => ({
        span: onlyIf.span,
        text: `the test waits until ${conditionText(model, at(formulas, i))}`,
      })),
      help: `Say when it may be done: \`${isFix ? "fix" : "fit"} only if …\`. Otherwise the plan may do it when the test isn't allowed yet.`,
      edits: clauses.length === 1 && formulas.every(isSayable) ? [edit] : [],
    },
  )
}

/** A condition that no value meets has no words in the language. */
function isSayable(formula: Formula): boolean {
  return formula.kind === "in" ? formula.cells.includes(true) : formula.items.every(isSayable)
}
