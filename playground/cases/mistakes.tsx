import type { Mistake, Report } from "../../compiler/cases/report/report.ts"
import { causeText } from "../../compiler/cases/report/sections.ts"
import { listed } from "../../compiler/wording/sentence.ts"
import { CodeText } from "../ui/code-text.tsx"
import { percent } from "../ui/figures.ts"
import { CaseLink } from "./case-link.tsx"
import { LineLink } from "./line-link.tsx"

const MOST = 30

/** Findings that ruled out the fault which was confirmed in the end: a mistake of the ruleset, or of the bench. */
export function Mistakes({ report }: { report: Report }) {
  const labels = new Map(report.faults.map((fault) => [fault.name, fault.label]))
  const labelsOf = (names: string) => listed(names.split(" + ").map((name) => labels.get(name) ?? name))
  return (
    <section class="card" aria-labelledby="mistakes-title">
      <h2 id="mistakes-title">The confirmed fault was ruled out</h2>
      {report.mistakes.length === 0 ? (
        <p class="quiet">In no case did a finding rule out the confirmed fault.</p>
      ) : (
        <p class="small quiet">
          A mistake in the ruleset, or at the bench. Jobs that came back are listed first.
        </p>
      )}
      <ul class="notes">
        {report.mistakes.slice(0, MOST).map((each) => (
          <li key={`${each.line}${each.cause}${each.name}${each.at}`}>
            <CaseLink id={each.id} line={each.line} /> {each.cameBack && <b>came back </b>}
            {labelsOf(each.fault)}, ruled out as <CodeText text={each.found} />:{" "}
            <Cause mistake={each} report={report} />
          </li>
        ))}
      </ul>
      {report.mistakesInAll > MOST && <p class="small quiet">and {report.mistakesInAll - MOST} more</p>}
    </section>
  )
}

interface CauseProps {
  readonly mistake: Pick<Mistake, "cause" | "chance" | "name" | "because" | "at">
  readonly report: Report | undefined
}

/** What rules the confirmed fault out; a rule with the way to its line. */
export function Cause({ mistake, report }: CauseProps) {
  const { cause, chance, name, because, at } = mistake
  if (cause !== "rule" || at === undefined) return <CodeText text={causeText(mistake)} />
  const same = (each: Report["rules"][number]) =>
    each.line === at && each.name === name && each.because === because
  return (
    <>
      {because ?? (name === undefined ? "a rule" : <code>{name}</code>)} (
      <LineLink rule={report?.rules.findIndex(same) ?? -1} line={at} />
      {chance < 1 && `, trusted ${percent(chance)}`})
    </>
  )
}
