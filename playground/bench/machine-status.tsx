import * as m from "../../compiler/wording/compiled/bench.ts"
import * as common from "../../compiler/wording/compiled/common.ts"
import type { Words } from "../../compiler/wording/words.ts"
import type { OpenJob } from "./open-job.ts"

/** How the complaint stands, and what has to come out before the job can be closed. */
export function MachineStatus({ job }: { job: OpenJob }) {
  const { words } = job
  const { fitted, gone, changed, whole } = job.session.value.standing
  return (
    <div class="machine-status">
      <dl class="facts-line">
        <div>
          <dt>{words.say(common.complaint)}</dt>
          <dd>{complaintText(gone, changed, words)}</dd>
        </div>
        <div>
          <dt>{words.say(m.nothingWrongNow)}</dt>
          <dd>{words.percent(whole)}</dd>
        </div>
      </dl>
      {fitted.length > 0 && (
        <p class="warned">
          <b>{words.say(m.partIsIn, { parts: fitted.map(({ label }) => label).join(", ") })}</b>{" "}
          <span class="small">{words.say(m.beforeClosed)}</span>
        </p>
      )}
    </div>
  )
}

function complaintText(gone: boolean | undefined, changed: boolean, words: Words): string {
  if (gone === undefined) return words.say(m.asItCameIn)
  const last = gone ? "gone" : "other"
  return changed ? words.say(m.complaintBefore, { last }) : words.say(m.complaintNow, { now: last })
}
