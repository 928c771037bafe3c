import { type Signal, useSignal } from "@preact/signals"
import type { ComponentChildren } from "preact"
import type { Recorded } from "../../compiler/run/index.ts"
import { JobBar } from "./job-bar.tsx"
import { JobView } from "./job-view.tsx"
import type { Jobs } from "./jobs.ts"
import type { OpenJob } from "./open-job.ts"
import type { Message } from "./said.tsx"

export interface StationProps {
  readonly jobs: Jobs
  /** The recorded cases of the ruleset at hand; any of them may come back. */
  readonly records: () => Promise<Recorded[]>
  readonly onCameBack: (record: Recorded) => void
  /** What was said last; a host that has a place of its own for messages gives none. */
  readonly said?: Signal<Message | undefined>
}

interface Props extends StationProps {
  readonly bar: ComponentChildren
  /** What is to be said above the job. */
  readonly children?: ComponentChildren
  /** What stands below the notes of the job. */
  readonly more: ComponentChildren
}

/** The bench with all its jobs: the one at hand, and the list of the others. */
export function JobStation({ jobs, records, onCameBack, bar, children, more }: Props) {
  const job = jobs.current.value
  const isListed = useSignal(false)
  return (
    <>
      <JobBar jobs={jobs} isListed={isListed} records={records} onCameBack={onCameBack} bar={bar} />
      {job && !isListed.value && (
        <>
          {children}
          <JobView key={numberOf(job)} job={job} more={more} />
        </>
      )}
    </>
  )
}

/** Keys for the view; a job that nobody has any more needs none. */
const numbers = new WeakMap<OpenJob, number>()
/** How many jobs have been opened: the next number. */
let opened = 0

/** A job that is opened anew, in a newer state or on a better graph, is drawn anew. */
function numberOf(job: OpenJob): number {
  const number = numbers.get(job) ?? ++opened
  numbers.set(job, number)
  return number
}
