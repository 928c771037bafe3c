import type { OpenJob } from "./open-job.ts"

/** What the bench has to say beside the findings. */
export function Notes({ job }: { job: OpenJob }) {
  const { notes = "" } = job.saved.value
  return (
    <section class="card notes-card" aria-labelledby="notes-title">
      <h2 id="notes-title">Notes</h2>
      <textarea
        rows={3}
        aria-labelledby="notes-title"
        aria-describedby="notes-where"
        value={notes}
        onInput={(event) => job.keep({ notes: event.currentTarget.value })}
      />
      <p id="notes-where" class="small quiet">
        They stay with the job and on its handover sheet, and don't go on record. No names of owners.
      </p>
    </section>
  )
}
