import type { Signal } from "@preact/signals"
import ListIcon from "lucide/dist/esm/icons/list-checks.mjs"
import PlusIcon from "lucide/dist/esm/icons/plus.mjs"
import type { ComponentChildren } from "preact"
import type { Recorded } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import { Icon } from "../ui/icon.tsx"
import { JobList } from "./job-list.tsx"
import type { Jobs } from "./jobs.ts"

interface Props {
  readonly jobs: Jobs
  /** Whether the list of jobs takes the place of the step. */
  readonly isListed: Signal<boolean>
  /** The recorded cases of the ruleset at hand; any of them may come back. */
  readonly records: () => Promise<Recorded[]>
  readonly onCameBack: (record: Recorded) => void
  /** Tools of the host, before those of the bench. */
  readonly bar: ComponentChildren
}

/** Which job this is, and the ways to the others. */
export function JobBar({ jobs, isListed, records, onCameBack, bar }: Props) {
  const job = jobs.current.value
  const open = jobs.open.value.length
  const words = jobs.words.value
  const count = words.say(m.jobsCount, { n: open })
  const close = () => {
    isListed.value = false
  }
  return (
    <>
      <div class="job-bar">
        {job && (
          <p class="job-name">
            <b>{job.saved.value.id}</b> <span class="quiet">{job.graph.ruleset.title}</span>
          </p>
        )}
        <div class="row job-tools">
          {bar}
          <button
            type="button"
            class="tool"
            aria-label={count}
            title={count}
            aria-pressed={isListed.value}
            onClick={() => {
              isListed.value = !isListed.value
            }}
          >
            <Icon of={ListIcon} />
            <span class="word">{count}</span>
            <span class="figure">{words.grouped(open)}</span>
          </button>
          {job && (
            <button
              type="button"
              class="tool"
              title={words.say(m.newJobWhy)}
              aria-label={words.say(m.newJob)}
              onClick={() => {
                close()
                job.host.begin()
              }}
            >
              <Icon of={PlusIcon} />
              <span class="word">{words.say(m.newJob)}</span>
            </button>
          )}
        </div>
      </div>
      {isListed.value && <JobList jobs={jobs} records={records} onCameBack={onCameBack} onOpened={close} />}
    </>
  )
}
