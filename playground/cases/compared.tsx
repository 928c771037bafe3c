import type { Change, Comparison } from "../../compiler/cases/compare/compare.ts"
import { countOf, grouped, rounded } from "../../compiler/wording/figures.ts"
import { CodeText } from "../ui/code-text.tsx"
import { money, percent } from "../ui/figures.ts"
import { CaseLink } from "./case-link.tsx"

const judgements = {
  better: "Better than what was shipped, beyond chance.",
  worse: "Worse than what was shipped, beyond chance.",
  even: "No difference from what was shipped beyond chance.",
} as const
const turns = { lost: "✗ lost", gained: "✓ gained", other: "≠ other" } as const
const MOST = 30

/** The ruleset at hand against the version that was shipped last, on the same cases. */
export function Compared({ comparison }: { comparison: Comparison }) {
  const { old, judgement, right, comesBack, inVain, changed, compared, open, total } = comparison
  return (
    <section class="card" aria-labelledby="compared-title">
      <h2 id="compared-title">
        Against the shipped version {old.name} {old.version}
      </h2>
      <p>
        <b>{judgements[judgement.is]}</b> {countOf(compared, "case")} compared;{" "}
        {grouped(compared - open.either)} end under both by what is recorded, the others are carried on by the
        chances.
      </p>
      <dl class="figures">
        <Pair name="Ended well" change={right} />
        <Pair name="Closed, comes back" change={comesBack} />
        <Pair name="Bought a part in vain" change={inVain} />
        {total && (
          <div>
            <dt>Cost of a job, comebacks included</dt>
            <dd>{money(total.walked, comparison.money)}</dd>
            <dd class="small quiet">was {money(total.recorded, comparison.money)}</dd>
          </div>
        )}
      </dl>
      {changed.length > 0 && (
        <ul class="notes">
          {changed.slice(0, MOST).map((each) => (
            <li key={each.line}>
              <b>{turns[each.turn]}</b> <CaseLink id={each.id} line={each.line} /> {each.fault}: was{" "}
              <CodeText text={each.old} />, is <CodeText text={each.fresh} />
            </li>
          ))}
        </ul>
      )}
    </section>
  )
}

function Pair({ name, change }: { name: string; change: Change }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{percent(change.fresh.share)}</dd>
      <dd class="small quiet">
        was {percent(change.old.share)}; {rounded(change.gained)} gained, {rounded(change.lost)} lost (exact
        McNemar p {change.p.toPrecision(2)})
      </dd>
    </div>
  )
}
