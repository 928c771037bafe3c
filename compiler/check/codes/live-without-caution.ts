import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { Model, Test } from "../../model/model.ts"
import { unit } from "../../model/units.ts"
import { at } from "../../run/lookup.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"

/** Dimensions that are read with probes on live metal; a time or a temperature is not. */
const METERED = new Set([
  "voltage",
  "current",
  "power",
  "apparent power",
  "reactive power",
  "resistance",
  "capacitance",
  "inductance",
  "frequency",
])

export const liveWithoutCaution: Check = {
  code: "live-without-caution",
  severity: "error",
  summary: "A test with `power on` that opens or meters the machine and has no `caution`.",
  explain: `Whoever does this test has hands or probes in a machine that is on. Say in a \`caution\` what can hurt them; it is shown
before the step. A test opens the machine if it swaps, removes or redoes something. It meters the machine if it reads
volts, amperes, watts, volt-amperes, vars, ohms, farads, henries or hertz. Mains, charged capacitors and batteries can
kill: local codes and licensed practice come before anything that a ruleset says.`,
  example: `test meter_live "Meter the rail with the gate running"  reads rail  takes 3 min  power on`,
  fixed: `test meter_live "Meter the rail with the gate running"  reads rail  takes 3 min  power on
  caution "Live terminals: one hand, insulated probes, keep clear of the arm."`,
  *run({ model }) {
    for (const test of model.tests) {
      if (test.power !== "on" || test.cautions.length > 0) continue
      const why = danger(model, test)
      if (why === undefined) continue
      yield diagnostic(
        "error",
        "live-without-caution",
        test.span,
        `${backticked(test.name)} ${why} with the power on, and has no \`caution\`.`,
        {
          help: 'Add `caution "…"` that says what can hurt and how to keep clear of it, or do the step with `power off`.',
        },
      )
    }
  },
}

function danger(model: Model, test: Test): string | undefined {
  if (test.kind === "swaps" || test.kind === "removes")
    return `${test.kind} ${listed(test.parts.map((part) => backticked(at(model.places, part).name)))}`
  if (test.kind === "redoes") return "takes connections apart"
  const metered = test.reads
    .map((reading) => at(model.readings, reading))
    .find(({ grid }) => {
      const dimension = grid && unit(grid.unit)?.dimension
      return dimension !== undefined && METERED.has(dimension)
    })
  return metered === undefined ? undefined : `meters ${backticked(metered.name)}`
}
