import { diagnostic, type Edit } from "../../diagnostics/diagnostic.ts"
import type { Fault, Model, Proof } from "../../model/model.ts"
import { at } from "../../run/lookup.ts"
import { percent } from "../../wording/figures.ts"
import { backticked } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"

/** Used where a ruleset asks for no trust. */
const USUAL_TRUST = 0.95

/** `times` takes no more. */
const MOST_TIMES = 1_000_000

export const shortProof: Check = {
  code: "short-proof",
  severity: "warning",
  summary: "A `proof … times N` too few to show that a fault that comes and goes is gone.",
  explain: `A fault that shows the complaint in q of all tries stays hidden in N tries with chance (1 − q)^N. Only if that is at most
one minus the ruleset's \`trust\` (95 % if it asks for none) has the proof shown anything, so
N ≥ ln(1 − trust) / ln(1 − q). N is the sum of the tries of all proofs that count after this fault's repair. The proof that
tries most often is reported.`,
  example: `fault relay_sticks "relay sticks now and then"  in board  odds 0.05
  shows stuck 30%
proof "Open and close it"  times 2  takes 1 min`,
  fixed: `fault relay_sticks "relay sticks now and then"  in board  odds 0.05
  shows stuck 30%
proof "Open and close it"  times 5  takes 1 min`,
  *run({ model }) {
    const { trust: asked } = model.ruleset
    const trust = asked > 0 ? asked : USUAL_TRUST
    for (const fault of model.faults) {
      if (fault.recurs >= 1 || fault.recurs <= 0) continue
      const counting = proofsAfter(model, fault)
      if (counting.length === 0) continue
      const most = counting.reduce((a, b) => (b.times > a.times ? b : a))
      const tries = counting.reduce((sum, { times }) => sum + times, 0)
      // A whole number of tries that is just enough must not fail on its last digit.
      const needed = Math.ceil(Math.log(1 - trust) / Math.log(1 - fault.recurs) - 1e-9)
      if (tries >= needed) continue
      const hopeless = needed > MOST_TIMES
      const enough = most.times + needed - tries
      yield diagnostic("warning", "short-proof", most.span, messageFor(fault, tries, trust), {
        labels: [{ span: fault.span, text: `shows in ${percent(fault.recurs)} of the tries` }],
        help: hopeless
          ? "No number of tries is enough: ask for less `trust`, or read something that shows it."
          : `\`times ${enough}\` would be enough.`,
        edits: hopeless ? [] : [timesEdit(most, enough)],
      })
    }
  },
}

function messageFor({ name, recurs }: Fault, tries: number, trust: number): string {
  const tried = tries === 1 ? "one try" : `${tries} tries`
  const hidden = percent((1 - recurs) ** tries)
  return `In ${tried}, ${backticked(name)} stays hidden in ${hidden} of the machines that still have it; \`trust\` ${percent(trust)} allows at most ${percent(1 - trust)}.`
}

/** The proofs that surely count after a repair of this fault, which works on its place and redoes the way to it. */
function proofsAfter(model: Model, { place }: Fault): Proof[] {
  const worked = new Set([place, ...at(model.places, place).reach])
  return model.proofs.filter(({ places }) => places.length === 0 || places.some((each) => worked.has(each)))
}

/** Not safe: it lengthens the proof run. */
function timesEdit({ timesAt }: Proof, times: number): Edit {
  const text = timesAt.start === timesAt.end ? ` times ${times}` : String(times)
  return { title: `try it ${times} times`, safe: false, changes: [{ span: timesAt, text }] }
}
