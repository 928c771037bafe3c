import type { Mistake, Report } from "../../compiler/cases/report/report.ts"
import { CodeText } from "../code-text.tsx"
import { CaseLink } from "./case-link.tsx"
import { LineLink } from "./line-link.tsx"

const most = 30
const causes = {
  rule: "by a rule",
  shows: "this fault never shows that",
  look: "that cannot be with this fault",
  never: "said never to occur together",
} as const

/** Findings that ruled out the fault which was confirmed in the end: a mistake of the ruleset, or of the bench. */
export function Mistakes({ report }: { report: Report }) {
  const label = new Map(report.faults.map((fault) => [fault.name, fault.label]))
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
        {report.mistakes.slice(0, most).map((each) => (
          <li key={`${each.line}${each.cause}${each.name}${each.at}`}>
            <CaseLink id={each.id} line={each.line} /> {each.cameBack && <b>came back </b>}
            {label.get(each.fault) ?? each.fault}, ruled out as <CodeText text={each.found} />:{" "}
            <Cause mistake={each} report={report} />
          </li>
        ))}
      </ul>
      {report.mistakesInAll > most && <p class="small quiet">and {report.mistakesInAll - most} more</p>}
    </section>
  )
}

interface CauseProps {
  readonly mistake: Pick<Mistake, "cause" | "name" | "because" | "at">
  readonly report: Report | undefined
}

/** What rules the confirmed fault out; a rule with the way to its line. */
export function Cause({ mistake, report }: CauseProps) {
  const { cause, name, because, at } = mistake
  if (cause !== "rule") return <>{causes[cause]}</>
  const same = (each: Report["rules"][number]) =>
    each.line === at && each.name === name && each.because === because
  return (
    <>
      {because ?? (name === undefined ? causes.rule : <code>{name}</code>)} (
      <LineLink rule={report?.rules.findIndex(same) ?? -1} line={at!} />)
    </>
  )
}
