import { useSignal } from "@preact/signals"
import { useEffect } from "preact/hooks"
import type { Recorded } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import type { Words } from "../../compiler/wording/words.ts"
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
  const words = jobs.words.value
  const list = jobs.open.value
  const stuck = useSignal("")
  const open = async ({ key, ruleset }: KeptJob) => {
    if (await jobs.resume(key)) return onOpened()
    stuck.value = words.say(m.rulesetNotHere, { title: ruleset.title })
  }
  return (
    <section class="card job-list" aria-labelledby="job-list-title">
      <h2 id="job-list-title">{words.say(m.openJobs)}</h2>
      {list.length === 0 && <p class="quiet">{words.say(m.noOpenJobs)}</p>}
      {stuck.value !== "" && (
        <p class="warned" role="alert">
          {stuck}
        </p>
      )}
      <ul class="jobs">
        {list.map((each) => (
          <JobLine
            key={each.key}
            words={words}
            kept={each}
            isCurrent={each.key === jobs.currentKey.value}
            onOpen={() => open(each)}
            onDrop={() => jobs.drop(each.key)}
          />
        ))}
      </ul>
      <CameBack
        words={words}
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
  readonly words: Words
  readonly kept: KeptJob
  readonly isCurrent: boolean
  readonly onOpen: () => void
  readonly onDrop: () => void
}

function JobLine({ words, kept, isCurrent, onOpen, onDrop }: LineProps) {
  const { id, ruleset, complaint, next, done, state, touched } = kept
  return (
    <li class={isCurrent ? "job current" : "job"} aria-current={isCurrent ? "true" : undefined}>
      <p class="grow">
        <b>{id}</b> {ruleset.title}{" "}
        <span class="small quiet">
          {ruleset.version} · {complaint}
        </span>
        <span class="job-next">
          {state === "ended"
            ? words.say(m.endedNotRecorded, { state: next })
            : next !== "" && words.say(m.stepLine, { n: done + 1, what: next })}
        </span>
        <span class="small quiet">{idleText(touched, Date.now(), words)}</span>
      </p>
      <button type="button" aria-label={words.say(m.goOnWith, { id })} onClick={onOpen}>
        {words.say(m.goOn)}
      </button>
      <button type="button" aria-label={words.say(m.throwAwayJob, { id })} onClick={onDrop}>
        {words.say(m.throwAway)}
      </button>
    </li>
  )
}

/** A machine came back: another job begins with all that its old record has. */
function CameBack({ words, records, onCameBack }: Pick<Props, "records" | "onCameBack"> & { words: Words }) {
  const list = useSignal<readonly Recorded[]>([])
  useEffect(() => {
    records().then((found) => {
      list.value = found
    })
  }, [records, list])
  if (list.value.length === 0) return null
  return (
    <label class="field">
      {words.say(m.cameBackRecord)}
      <select
        value=""
        onChange={(event) => {
          const record = list.value[Number(event.currentTarget.value)]
          if (record) onCameBack(record)
        }}
      >
        <option value="">{words.say(m.choose)}</option>
        {list.value.slice(0, 200).map(({ id, date, faults }, i) => (
          <option key={id} value={i}>
            {[id, date, words.listed(faults ?? [])].filter(Boolean).join(" · ")}
          </option>
        ))}
      </select>
    </label>
  )
}
