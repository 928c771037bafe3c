import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { at } from "../../run/lookup.ts"
import type { Check } from "../code.ts"
import { findingsText, limitNote } from "../condition-text.ts"
import { eliminationLabels } from "../message-parts.ts"
import { distributionsOn, unexplained as smallestUnexplained } from "../proofs/contradictions.ts"

export const unexplained: Check = {
  code: "unexplained",
  severity: "note",
  summary: "Findings that no listed condition can show, by `shows` and `normally` alone.",
  explain: `No rule is to blame: between them, what the faults show and what a healthy machine shows leave these findings no chance. In
a table of faults that show their readings for certain this is normal, and it compiles. A technician who finds it anyway
has misread something, or has a machine with a fault that isn't listed; the runner says that no listed fault fits and
hands the job over. With \`unlisted\` in the ruleset, something not listed explains such findings, and this note is gone.
It names the fewest findings that do it, once for the whole ruleset.`,
  example: `reading lamp "Lamp on the board"  one of off, slow, fast
  normally is off 100%
test look_lamp "Look at the lamp on the board"  reads lamp  takes 1 min`,
  fixed: `reading lamp "Lamp on the board"  one of off, slow, fast
  normally is off 100%
fault plug_wet "board plug wet"  in plug  odds 1
  shows lamp is slow 60%  shows lamp is fast 40%
test look_lamp "Look at the lamp on the board"  reads lamp  takes 1 min`,
  alongside: ["silent-reading", "blind-test"],
  *run(context) {
    const { model, eliminations } = context
    const found = smallestUnexplained(context)
    if (found === undefined) return
    const by = distributionsOn(context, found.findings).map((index) => at(eliminations, index))
    const budget = limitNote(found.smallest)
    yield diagnostic(
      "note",
      "unexplained",
      by[0]?.span ?? model.ruleset.span,
      `No listed fault explains ${findingsText(model, found.findings)}.`,
      {
        labels: eliminationLabels(model, by.slice(0, 5)),
        help: `The runner then says that no listed fault fits, and hands the job over. If this can happen, add \`unlisted\` to the ruleset, or the missing fault.${budget}`,
      },
    )
  },
}
