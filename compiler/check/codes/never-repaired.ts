import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { at } from "../../run/lookup.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { unrepairedFaults } from "../proofs/repairs.ts"

export const neverRepaired: Check = {
  code: "never-repaired",
  severity: "warning",
  summary: "A fault that no action can cure.",
  explain: `No test redoes the setup that this fault is in, nothing done on the way to a part redoes it, and there is no \`fix\`. So a
machine with this fault can only be handed over. Add a test that redoes the setup, or give the fault a
\`fix\` clause.`,
  example: `setup post "post anchoring"
fault post_loose "post loose in its footing"  in post  odds 0.2
  shows rail below 22 V 5%`,
  fixed: `setup post "post anchoring"
fault post_loose "post loose in its footing"  in post  odds 0.2
  shows rail below 22 V 5%
  fix takes 40 min`,
  alongside: ["no-way-on", "never-blamed"],
  *run(context) {
    const { model } = context
    for (const fault of unrepairedFaults(context)) {
      const { name, place, span } = at(model.faults, fault)
      const setup = at(model.places, place)
      yield diagnostic(
        "warning",
        "never-repaired",
        span,
        `Nothing cures ${backticked(name)}: no test that can be done redoes ${backticked(setup.name)}, and the fault has no \`fix\`.`,
        {
          labels: [{ span: setup.span, text: "nothing redoes it" }],
          help: `Add a test that \`redoes ${setup.name}\`, or give the fault a \`fix\` clause.`,
        },
      )
    }
  },
}
