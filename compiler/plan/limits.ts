import { type Diagnostic, diagnostic } from "../diagnostics/diagnostic.ts"
import type { Model } from "../model/model.ts"
import { MOST_OUTCOMES, outcomesOf } from "./problem.ts"

/** As many as the runner takes: two of them at once are a hypothesis each. */
const MOST_FAULTS = 2_000
/** Cells are numbered in 16 bits. */
const MOST_CELLS = 30_000

/** What the planner cannot take on, said before it is asked to; no ruleset from a bench comes near. */
export function beyondLimits(model: Model): Diagnostic[] {
  const found: Diagnostic[] = []
  model.tests.forEach((test, index) => {
    const outcomes = outcomesOf(model, index)
    if (outcomes <= MOST_OUTCOMES) return
    found.push(
      diagnostic(
        "error",
        "too-many-outcomes",
        test.span,
        `\`${test.name}\` can come out in ${outcomes.toLocaleString("en")} ways; a test may have ${MOST_OUTCOMES.toLocaleString("en")}.`,
        { help: "Divide it into tests that read less each, or let the readings have fewer limits." },
      ),
    )
  })
  if (model.faults.length > MOST_FAULTS) {
    const message = `There are ${model.faults.length.toLocaleString("en")} faults; a ruleset may have ${MOST_FAULTS.toLocaleString("en")}.`
    const { span } = model.faults[MOST_FAULTS]!
    found.push(
      diagnostic("error", "too-many-faults", span, message, { help: "Divide the ruleset by complaint." }),
    )
  }
  for (const { name, cells, span } of model.readings) {
    if (cells.length <= MOST_CELLS) continue
    const message = `\`${name}\` has ${cells.length.toLocaleString("en")} values that matter; a reading may have ${MOST_CELLS.toLocaleString("en")}.`
    found.push(
      diagnostic("error", "too-many-cells", span, message, { help: "Let it have fewer values or limits." }),
    )
  }
  return found
}
