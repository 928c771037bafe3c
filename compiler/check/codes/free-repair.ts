import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { at } from "../../run/lookup.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { freeRepairs } from "../proofs/repairs.ts"

export const freeRepair: Check = {
  code: "free-repair",
  severity: "warning",
  summary: "A repair that costs nothing, so that the plan tends to try it first.",
  explain: `The plan weighs what a repair costs against how likely it helps. A part without a price, or a \`fix\` that takes no time and
no money, is a free guess, so the plan tends to make it before it measures anything. Give the part a price, or say what the
fix takes.`,
  example: `part fuse "panel fuse"  spare
fault fuse_blown "panel fuse blown"  in fuse  odds 1
test try_fuse "Fit the known-good fuse"  swaps fuse  takes 1 min`,
  fixed: `part fuse "panel fuse"  price 2  spare
fault fuse_blown "panel fuse blown"  in fuse  odds 1
test try_fuse "Fit the known-good fuse"  swaps fuse  takes 1 min`,
  *run({ model }) {
    for (const repair of freeRepairs(model)) {
      const { name, span } =
        repair.kind === "replace" ? at(model.places, repair.part) : at(model.faults, repair.fault)
      const [message, help] =
        repair.kind === "replace"
          ? [`${backticked(name)} has no price, so buying one costs nothing.`, "Give the part a `price`."]
          : [
              `Fixing ${backticked(name)} costs nothing.`,
              "Say what it takes: `fix takes … min` or `fix costs …`.",
            ]
      yield diagnostic("warning", "free-repair", span, message, {
        help: `The plan tends to try this before it measures anything. ${help}`,
      })
    }
  },
}
