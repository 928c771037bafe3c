import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { usedReadings } from "../context.ts"
import { blindTests } from "../proofs/blind-tests.ts"

export const blindTest: Check = {
  code: "blind-test",
  severity: "warning",
  summary: "A test that no state makes informative: it leaves all chances as they were.",
  explain: `Whatever comes out of this test, and whatever was found before, no fault becomes likelier or less likely. Either nothing
was said of what it reads (no fault \`shows\` anything else than the others, no rule takes it up), or it touches no place
with a fault in it. Say what it tells, or take it out.`,
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
      const { name, span, kind, reads } = model.tests[index]!
      // A question that nothing uses is `silent-reading`, which stands at the same place.
      if (kind === "told" && !used.has(reads[0]!)) continue
      const why =
        kind === "reads" || kind === "told"
          ? `with every fault ${listed(reads.map((reading) => backticked(model.readings[reading]!.name)))} comes out alike, and no rule acts on it`
          : "it touches no place with a fault in it, and looking again for the complaint says nothing new"
      yield diagnostic("warning", "blind-test", span, `${backticked(name)} tells nothing: ${why}.`, {
        help:
          kind === "reads" || kind === "told"
            ? "Let a fault's `shows` or a rule say what it means, or take the test out."
            : "Say which setups it redoes, put a fault there, or take the test out.",
      })
    }
  },
}
