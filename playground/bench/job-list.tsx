import { useSignal } from "@preact/signals"
import { useEffect } from "preact/hooks"
import type { Recorded } from "../../compiler/run/index.ts"
import type { Jobs } from "./jobs.ts"
import { idleText, type KeptJob } from "./kept-job.ts"

interface Props {
  readonly jobs: Jobs
  readonly records: () => Promise<Recorded[]>
  readonly onCameBack: (record: Recorded) => void
  readonly onOpened: () => void
}

/** All jobs that aren't recorded yet, whatever their ruleset, and the recorded ones that may come back. */
export function JobList({ jobs, records, onCameBack, onOpened }: Props) {
  const list = jobs.open.value
  const stuck = useSignal("")
  const open = async ({ key, ruleset }: KeptJob) => {
    if (await jobs.resume(key)) return onOpened()
    stuck.value = `The ruleset of this job isn't here: open ${ruleset.title} first.`
  }
  return (
    <section class="card job-list" aria-labelledby="job-list-title">
      <h2 id="job-list-title">Open jobs</h2>
      {list.length === 0 && (
        <p class="quiet">
          None yet. A job is in this list once something was found, and stays until it is recorded.
        </p>
      )}
      {stuck.value !== "" && (
        <p class="warned" role="alert">
          {stuck}
        </p>
      )}
      <ul class="jobs">
        {list.map((each) => (
          <JobLine
            key={each.key}
            kept={each}
            isCurrent={each.key === jobs.currentKey.value}
            onOpen={() => open(each)}
            onDrop={() => jobs.drop(each.key)}
          />
        ))}
      </ul>
      <CameBack
        records={records}
        onCameBack={(record) => {
          onCameBack(record)
          onOpened()
        }}
      />
    </section>
  )
}

interface LineProps {
  readonly kept: KeptJob
  readonly isCurrent: boolean
  readonly onOpen: () => void
  readonly onDrop: () => void
}

function JobLine({ kept, isCurrent, onOpen, onDrop }: LineProps) {
  const { id, ruleset, complaint, next, done, state, touched } = kept
  return (
    <li class={isCurrent ? "job current" : "job"} aria-current={isCurrent ? "true" : undefined}>
      <p class="grow">
        <b>{id}</b> {ruleset.title}{" "}
        <span class="small quiet">
          {ruleset.version} · {complaint}
        </span>
        <span class="job-next">
          {state === "ended" ? `${next}, not recorded yet` : next === "" ? "" : `Step ${done + 1}: ${next}`}
        </span>
        <span class="small quiet">{idleText(touched, Date.now())}</span>
      </p>
      <button type="button" aria-label={`Go on with ${id}`} onClick={onOpen}>
        Go on
      </button>
      <button type="button" aria-label={`Throw away ${id}`} onClick={onDrop}>
        Throw away
      </button>
    </li>
  )
}

/** A machine came back: another job begins with all that its old record has. */
function CameBack({ records, onCameBack }: Pick<Props, "records" | "onCameBack">) {
  const list = useSignal<readonly Recorded[]>([])
  useEffect(() => {
    records().then((found) => {
      list.value = found
    })
  }, [records, list])
  if (list.value.length === 0) return null
  return (
    <label class="field">
      A machine came back: its old record
      <select
        value=""
        onChange={(event) => {
          const record = list.value[Number(event.currentTarget.value)]
          if (record) onCameBack(record)
        }}
      >
        <option value="">choose…</option>
        {list.value.slice(0, 200).map(({ id, date, faults }, i) => (
          <option key={id} value={i}>
            {[id, date, faults?.join(" and ")].filter(Boolean).join(" · ")}
          </option>
        ))}
      </select>
    </label>
  )
}
