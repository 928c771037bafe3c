import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { at } from "../../run/lookup.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { usedReadings } from "../context.ts"
import { blindTests } from "../proofs/blind-tests.ts"

export const blindTest: Check = {
  code: "blind-test",
  severity: "warning",
  summary: "A test that no state makes informative: it leaves all chances as they were.",
  explain: `Whatever the outcome of this test, and whatever was found before, no fault becomes more or less likely. Either the ruleset
says nothing about what it reads (every fault shows the same, and no rule uses it), or no fault is in the places that it
touches. Say what the test tells, or remove it.`,
  example: `reading noise "Grinding noise"  yes or no
test listen "Listen at the gearbox"  reads noise  takes 1 min
test grease_gear "Grease the gear and its lock"  redoes gear_mesh  takes 2 min  only if noise is yes`,
  fixed: `reading noise "Grinding noise"  yes or no
test listen "Listen at the gearbox"  reads noise  takes 1 min
test grease_gear "Grease the gear and its lock"  redoes gear_mesh  takes 2 min  only if noise is yes
when noise is yes  rule out board_dead`,
  *run(context) {
    const { model } = context
    const used = context.once(usedReadings)
    for (const index of blindTests(context)) {
      const { name, span, kind, reads } = at(model.tests, index)
      // A question that nothing uses is `silent-reading`, which stands at the same place.
      if (kind === "told" && !used.has(at(reads, 0))) continue
      const why =
        kind === "reads" || kind === "told"
          ? `with every fault ${listed(reads.map((reading) => backticked(at(model.readings, reading).name)))} reads the same, and no rule uses it`
          : "no fault is in what it touches, and looking for the complaint again tells nothing new"
      yield diagnostic("warning", "blind-test", span, `${backticked(name)} tells nothing: ${why}.`, {
        help:
          kind === "reads" || kind === "told"
            ? "Say in a fault's `shows` or in a rule what it means, or remove the test."
            : "Say which setups it redoes, add a fault there, or remove the test.",
      })
    }
  },
}
