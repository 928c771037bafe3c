import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { usedReadings } from "../context.ts"

export const silentReading: Check = {
  code: "silent-reading",
  severity: "warning",
  summary: "A reading that no rule, no `shows` and no `only if` uses, or that no test reads.",
  explain: `A reading is useful if a rule uses it, if a fault shows something on it, or if a test waits for it. A reading that nothing
uses takes time at the bench and tells nothing. A reading that is used but that no test reads never has an effect. What a
\`proof\` expects counts as a use, and as a way to read it if nothing else uses it.`,
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
            help: `Use it in a rule or in a fault's \`shows\`, or remove ${backticked(name)}.`,
          },
        )
      } else if (used.has(index) && !read.has(index)) {
        yield diagnostic(
          "warning",
          "silent-reading",
          span,
          `No test reads ${backticked(name)}, so whatever uses it has no effect.`,
          {
            help: `Add a test that \`reads ${name}\`.`,
          },
        )
      }
    }
  },
}
