import { percent } from "../figures.ts"
import type { OpenJob } from "./open-job.ts"

/** What is in the machine now that wasn't, what has to come out, and how the complaint stands. */
export function MachineStatusCard({ job }: { job: OpenJob }) {
  const { fitted, redone, gone, changed, whole } = job.session.value.standing
  return (
    <section class="card machine-status" aria-labelledby="machine-status-title">
      <h2 id="machine-status-title">The machine now</h2>
      {fitted.length > 0 && (
        <div class="warned">
          <p>
            <b>The shop's part is in:</b> {fitted.map(({ label }) => label).join(", ")}.
          </p>
          <p class="small">Before the job can be closed, put the old part back or keep the shop's.</p>
        </div>
      )}
      <dl class="facts">
        <div>
          <dt>Complaint</dt>
          <dd>{complaintText(gone, changed)}</dd>
        </div>
        <div>
          <dt>Chance that nothing is wrong now</dt>
          <dd>{percent(whole)}</dd>
        </div>
      </dl>
      {redone.length > 0 && (
        <p class="small">
          <span class="quiet">Redone in this job:</span> {redone.map(({ label }) => label).join(", ")}
        </p>
      )}
    </section>
  )
}

function complaintText(gone: boolean | undefined, changed: boolean): string {
  if (gone === undefined) return "as it came in"
  const last = gone ? "gone" : "stays"
  return changed ? `${last} at the last look, and something has changed since` : last
}
