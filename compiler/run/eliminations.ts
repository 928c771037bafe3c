import { type Action, effectOf, jobAfter } from "./action.ts"
import type { Belief, Hypothesis } from "./belief.ts"
import type { FaultIndex, RuleIndex } from "./indexes.ts"
import { knownLaws, strikes } from "./laws.ts"
import { cellChance } from "./likelihood.ts"
import type { Law, Machine } from "./machine.ts"
import type { Done, Out } from "./session-types.ts"

type Reason = Omit<Out, "step">

/** Why a fault has lost its last chance by this finding. */
export function reasonOut(
  m: Machine,
  before: Belief,
  action: Action,
  entry: Done,
  fault: FaultIndex,
): Reason {
  const { found, said = [] } = entry
  const h = likeliest(before, fault)
  const law = h && actingLaw(m, before, action, entry, h)
  if (typeof found === "string") {
    if (law) return lawReason(m, law)
    const proof = action.do === "close"
    const text = proof
      ? `the proof run would not ${found === "holds" ? "hold" : "fail"}`
      : `the complaint would not ${found === "gone" ? "be gone" : "stay"}`
    return { by: proof ? "proof" : "look", text }
  }
  const { reads } = effectOf(m, before.job, action)
  const never = reads.findIndex((r, i) => h && cellChance(m, before.job, h, r, found[i]!) === 0)
  if (never < 0 && law) return lawReason(m, law)
  const shown = reads.flatMap((r, i) =>
    never < 0 || never === i ? [`\`${m.readings[r]!.name}\` ${said[i] ?? ""}`] : [],
  )
  return { by: "reading", text: `it never shows ${shown.join(" and ")}`.trimEnd() }
}

/** The likeliest hypothesis with this fault. */
function likeliest({ hypotheses }: Belief, fault: FaultIndex): Hypothesis | undefined {
  let best: Hypothesis | undefined
  for (const h of hypotheses)
    if ((h.a === fault || h.b === fault) && (!best || h.weight > best.weight)) best = h
  return best
}

/** The first rule or never that leaves nothing of the hypothesis after this finding. */
function actingLaw(
  m: Machine,
  before: Belief,
  action: Action,
  { found }: Done,
  h: Hypothesis,
): Law | undefined {
  const { job } = before
  const next = jobAfter(m, job, action, effectOf(m, job, action), found)
  return knownLaws(next, m.laws).find(
    (law) => law.chance === 1 && !h.acted.includes(law.rule as RuleIndex) && strikes(m, next, h, law),
  )
}

function lawReason(m: Machine, { rule }: Law): Reason {
  if (rule === undefined) return { by: "never", text: "findings that cannot be" }
  const { because, name, line } = m.rules[rule]!
  return { by: "rule", rule, text: `${because ?? name ?? "rule"} (line ${line})` }
}
