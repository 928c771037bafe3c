import * as m from "../../compiler/wording/compiled/bench.ts"
import * as common from "../../compiler/wording/compiled/common.ts"
import type { OpenJob } from "./open-job.ts"

/** What the bench has to say beside the findings. */
export function Notes({ job }: { job: OpenJob }) {
  const { words } = job
  const { notes = "" } = job.saved.value
  return (
    <section class="card notes-card" aria-labelledby="notes-title">
      <h2 id="notes-title">{words.say(common.notes)}</h2>
      <textarea
        rows={3}
        aria-labelledby="notes-title"
        aria-describedby="notes-where"
        value={notes}
        onInput={(event) => job.keep({ notes: event.currentTarget.value })}
      />
      <p id="notes-where" class="small quiet">
        {words.say(m.notesWhere)}
      </p>
    </section>
  )
}
