import { diagnostic, type Edit } from "../../diagnostics/diagnostic.ts"
import type { Model } from "../../model/model.ts"
import { counted } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"

/** With fewer faults than this the ruleset is a sketch, or about one part of a machine. */
const MANY_FAULTS = 8

export const sureOfItself: Check = {
  code: "sure-of-itself",
  severity: "note",
  summary:
    "A ruleset of eight faults or more that says nothing of a second fault or of faults that aren't listed.",
  explain: `Without \`second fault\` and \`unlisted\`, every machine has exactly one of the listed faults. On a real bench some have two,
and some have one that nobody listed. Then findings rule out the fault that is there, and a listed one is blamed for what
it didn't do. Say how often either happens; \`0%\` if it never does.`,
  example: `fault arm_bent   "arm bent"          in motor  odds 1
fault latch_worn "latch worn"        in gear_mesh  odds 1
fault board_wet  "board wet"         in board  odds 1`,
  fixed: `fault arm_bent   "arm bent"          in motor  odds 1
fault latch_worn "latch worn"        in gear_mesh  odds 1`,
  *run({ model }) {
    const { faults, ruleset } = model
    if (faults.length < MANY_FAULTS || ruleset.hedged) return
    yield diagnostic(
      "note",
      "sure-of-itself",
      ruleset.span,
      `The ruleset takes it for granted that every machine has exactly one of its ${counted(faults.length, "fault")}: it says neither \`second fault\` nor \`unlisted\`.`,
      {
        help: "Say how many machines have two of the listed faults, and how many have one that isn't listed; `0%` if none do.",
        edits: [clauseEdit(model, "second fault 5%"), clauseEdit(model, "unlisted 2%")],
      },
    )
  },
}

function clauseEdit({ ruleset: { span } }: Model, clause: string): Edit {
  const end = { file: span.file, start: span.end, end: span.end }
  return {
    title: `add \`${clause}\` to the ruleset`,
    safe: false,
    changes: [{ span: end, text: `\n  ${clause}` }],
  }
}
