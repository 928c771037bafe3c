import { percent } from "../ui/figures.ts"
import type { OpenJob } from "./open-job.ts"

/** How the complaint stands, and what has to come out before the job can be closed. */
export function MachineStatus({ job }: { job: OpenJob }) {
  const { fitted, gone, changed, whole } = job.session.value.standing
  return (
    <div class="machine-status">
      <dl class="facts-line">
        <div>
          <dt>Complaint</dt>
          <dd>{complaintText(gone, changed)}</dd>
        </div>
        <div>
          <dt>Nothing wrong now</dt>
          <dd>{percent(whole)}</dd>
        </div>
      </dl>
      {fitted.length > 0 && (
        <p class="warned">
          <b>The shop's part is in:</b> {fitted.map(({ label }) => label).join(", ")}.{" "}
          <span class="small">Before the job can be closed, put the old part back or keep the shop's.</span>
        </p>
      )}
    </div>
  )
}

function complaintText(gone: boolean | undefined, changed: boolean): string {
  if (gone === undefined) return "as it came in"
  const last = gone ? "gone" : "stays"
  return changed ? `${last} at the last look, and something has changed since` : last
}
