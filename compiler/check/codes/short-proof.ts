import { finding } from "../../syntax/finding.ts"
import type { Check } from "../context.ts"
import { percent, tick } from "../words.ts"

/** Used where a ruleset asks for no trust. */
const USUAL_TRUST = 0.95

export const shortProof: Check = {
  code: "short-proof",
  severity: "warning",
  summary: "A `proof … times N` too few to show that a fault that comes and goes is gone.",
  explain: `A fault that shows the complaint in q of all tries stays hidden in N tries with chance (1 − q)^N. Only when that is at
most one minus the ruleset's \`trust\` (95 % where it asks for none) has the proof shown anything, so
N ≥ ln(1 − trust) / ln(1 − q). One proof that tries often enough will do; the one that tries most often is reported.`,
  example: `fault relay_sticks "relay sticks now and then"  in board  odds 0.05
  shows stuck 30%
proof "Open and close it"  times 2  takes 1 min`,
  mended: `fault relay_sticks "relay sticks now and then"  in board  odds 0.05
  shows stuck 30%
proof "Open and close it"  times 5  takes 1 min`,
  *run({ model }) {
    const { trust: asked } = model.ruleset
    const trust = asked > 0 ? asked : USUAL_TRUST
    for (const fault of model.faults) {
      if (fault.recurs >= 1 || fault.recurs <= 0) continue
      const applying = model.proofs.filter(
        ({ places }) => places.length === 0 || places.includes(fault.place),
      )
      if (applying.length === 0) continue
      const most = applying.reduce((a, b) => (b.times > a.times ? b : a))
      // A whole number of tries that is just enough must not fail on its last digit.
      const needed = Math.log(1 - trust) / Math.log(1 - fault.recurs)
      if (most.times >= needed - 1e-9) continue
      const hidden = percent((1 - fault.recurs) ** most.times)
      const enough = Number.isFinite(needed)
        ? `\`times ${Math.ceil(needed - 1e-9)}\` would do.`
        : "With `trust 100%` no number of tries is enough: ask for less, or read something that shows it."
      yield finding(
        "warning",
        "short-proof",
        most.span,
        `Tried ${most.times === 1 ? "once" : `${most.times} times`}, ${tick(fault.name)} stays hidden in ${hidden} of the machines that still have it; trust ${percent(trust)} asks for at most ${percent(1 - trust)}.`,
        {
          labels: [{ span: fault.span, text: `shows in ${percent(fault.recurs)} of the tries` }],
          help: enough,
        },
      )
    }
  },
}
