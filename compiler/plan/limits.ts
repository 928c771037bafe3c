import { Collector } from "../diagnostics/collector.ts"
import type { Diagnostic } from "../diagnostics/diagnostic.ts"
import type { Model } from "../model/model.ts"
import { grouped } from "../wording/figures.ts"
import { LIMIT_CODES } from "./codes.ts"
import { MOST_OUTCOMES, outcomesOf } from "./problem.ts"

/** As many as the runner takes: two of them at once are a hypothesis each. */
const MOST_FAULTS = 2_000
/** Cells are numbered in 16 bits. */
const MOST_CELLS = 30_000

/** What the planner cannot take on, said before it is asked to; no ruleset from a bench comes near. */
export function beyondLimits(model: Model): readonly Diagnostic[] {
  const report = new Collector(LIMIT_CODES)
  model.tests.forEach(({ name, span }, index) => {
    const outcomes = outcomesOf(model, index)
    if (outcomes <= MOST_OUTCOMES) return
    const message = `\`${name}\` can come out in ${grouped(outcomes)} ways; a test may have ${grouped(MOST_OUTCOMES)}.`
    const help = "Divide it into tests that read less each, or let the readings have fewer limits."
    report.say("too-many-outcomes", span, message, { help })
  })
  const oneTooMany = model.faults[MOST_FAULTS]
  if (oneTooMany) {
    const message = `There are ${grouped(model.faults.length)} faults; a ruleset may have ${grouped(MOST_FAULTS)}.`
    report.say("too-many-faults", oneTooMany.span, message, { help: "Divide the ruleset by complaint." })
  }
  for (const { name, cells, span } of model.readings) {
    if (cells.length <= MOST_CELLS) continue
    const message = `\`${name}\` has ${grouped(cells.length)} values that matter; a reading may have ${grouped(MOST_CELLS)}.`
    report.say("too-many-cells", span, message, { help: "Let it have fewer values or limits." })
  }
  return report.diagnostics
}
