import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { usedReadings } from "../context.ts"

export const silentReading: Check = {
  code: "silent-reading",
  severity: "warning",
  summary: "A reading which no rule, no `shows` and no `only if` uses, or which no test reads.",
  explain: `A reading speaks through rules, through what faults show on it, and through the tests that wait for it. One that does
none of this costs time at the bench and tells nothing. One that is used but that no test reads can never speak up.
What a \`proof\` expects counts as a use, and as a way to read it when nothing else uses it.`,
  example: `reading led "Status lamp on the board"  one of dark, green, red
when led is green  rule out board_dead`,
  fixed: `reading led "Status lamp on the board"  one of dark, green, red
test look_led "Look at the status lamp"  reads led  takes 1 min
when led is green  rule out board_dead`,
  *run(context) {
    const { model } = context
    const used = context.once(usedReadings)
    const read = new Set(model.tests.flatMap((test) => test.reads))
    const proved = new Set(
      model.proofs.flatMap(({ expects }) => (expects === undefined ? [] : [expects.reading])),
    )
    for (const [index, { name, span, told }] of model.readings.entries()) {
      const what = told ? "told question" : "reading"
      if (!used.has(index) && !proved.has(index)) {
        yield diagnostic(
          "warning",
          "silent-reading",
          span,
          `No rule, no \`shows\` and no \`only if\` uses the ${what} ${backticked(name)}.`,
          {
            help: `Say what it tells: let a rule or a fault's \`shows\` use it, or take ${backticked(name)} out.`,
          },
        )
      } else if (used.has(index) && !read.has(index)) {
        yield diagnostic(
          "warning",
          "silent-reading",
          span,
          `No test reads ${backticked(name)}, so nothing that uses it can ever act.`,
          {
            help: `Add a test that \`reads ${name}\`.`,
          },
        )
      }
    }
  },
}
