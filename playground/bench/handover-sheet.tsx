import { percent } from "../figures.ts"
import { LocalCodes } from "./cautions.tsx"
import { nextText } from "./kept-job.ts"
import { entryText } from "./labels.ts"
import type { OpenJob } from "./open-job.ts"
import { reasonOf } from "./reasons.ts"
import { suspectLabel, suspectsOf } from "./suspects.ts"

const MOST_SUSPECTS = 12

/** The job on a sheet of paper, for whoever goes on with the machine. */
export function HandoverSheet({ job, onBack }: { job: OpenJob; onBack: () => void }) {
  const { graph, saved } = job
  const { title, version, source } = graph.ruleset
  const { id, notes = "" } = saved.value
  return (
    <article class="card handover-sheet" aria-labelledby="sheet-title">
      <p class="row no-print">
        <button type="button" class="main" onClick={() => print()}>
          Print
        </button>
        <button type="button" onClick={onBack}>
          Back to the job
        </button>
      </p>
      <h2 id="sheet-title">
        {title}: {id}
      </h2>
      <dl class="sheet-facts">
        <dt>Complaint</dt>
        <dd>{graph.complaint.text}</dd>
        <dt>Date</dt>
        <dd>{job.host.today()}</dd>
        <dt>Ruleset</dt>
        <dd>
          version {version}, <code>{source.slice(0, 19)}</code>
        </dd>
        <dt>Next step</dt>
        <dd>{nextText(graph, job.session.value)}</dd>
        <InMachine job={job} />
      </dl>
      <Steps job={job} />
      <Left job={job} />
      {notes.trim() !== "" && (
        <>
          <h3>Notes</h3>
          <p class="sheet-notes">{notes}</p>
        </>
      )}
      <LocalCodes />
    </article>
  )
}

function InMachine({ job }: { job: OpenJob }) {
  const { fitted, redone } = job.session.value.standing
  return (
    <>
      {fitted.length > 0 && (
        <>
          <dt>The shop's parts in the machine</dt>
          <dd>{fitted.map(({ label }) => label).join(", ")}</dd>
        </>
      )}
      {redone.length > 0 && (
        <>
          <dt>Done again</dt>
          <dd>{redone.map(({ label }) => label).join(", ")}</dd>
        </>
      )}
    </>
  )
}

function Steps({ job }: { job: OpenJob }) {
  const { log } = job.session.value
  return (
    <>
      <h3>Done and found</h3>
      {log.length === 0 && <p>Nothing yet.</p>}
      <ol class="dots numbered">
        {log.map((entry, i) => {
          const { what, found } = entryText(job.graph, entry)
          const reason = reasonOf(job, entry)
          return (
            <li key={i}>
              {what} <b>{found}</b>
              {reason && `: ${reason}`}
              {"minutes" in entry && entry.minutes !== undefined && ` (${entry.minutes} min)`}
            </li>
          )
        })}
      </ol>
    </>
  )
}

function Left({ job }: { job: OpenJob }) {
  const { all, left } = suspectsOf(job.session.value)
  const out = all.length - left.length
  return (
    <>
      <h3>Still suspected</h3>
      <ul class="dots">
        {left.slice(0, MOST_SUSPECTS).map((each) => (
          <li key={each.fault ?? "unlisted"}>
            {suspectLabel(each)} {percent(each.present)}
            {each.active < each.present && `, active now ${percent(each.active)}`}
          </li>
        ))}
      </ul>
      {left.length > MOST_SUSPECTS && <p>and {left.length - MOST_SUSPECTS} less likely</p>}
      {out > 0 && <p>Ruled out: {out}.</p>}
    </>
  )
}
