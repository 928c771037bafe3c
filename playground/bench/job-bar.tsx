import type { ReadonlySignal, Signal } from "@preact/signals"
import type { Recorded } from "../../compiler/run/index.ts"
import { JobList } from "./job-list.tsx"
import type { Jobs } from "./jobs.ts"

/** What takes the place of the step: the list of jobs, or the sheet to hand over. */
export type Panel = "jobs" | "sheet" | undefined

interface Props {
  readonly jobs: Jobs
  readonly panel: Signal<Panel>
  /** The recorded cases of the ruleset at hand; any of them may come back. */
  readonly records: () => Promise<Recorded[]>
  readonly onCameBack: (record: Recorded) => void
}

/** Which job this is, and the ways to the others. */
export function JobBar({ jobs, panel, records, onCameBack }: Props) {
  const job = jobs.current.value
  const open = jobs.open.value.length
  const toggle = (name: Panel) => {
    panel.value = panel.value === name ? undefined : name
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
          <Tool panel={panel} name="jobs" onToggle={toggle}>
            {open === 1 ? "1 job" : `${open} jobs`}
          </Tool>
          {job && (
            <>
              <button
                type="button"
                onClick={() => {
                  panel.value = undefined
                  job.host.begin()
                }}
              >
                New job
              </button>
              <Tool panel={panel} name="sheet" onToggle={toggle}>
                Handover sheet
              </Tool>
            </>
          )}
        </div>
      </div>
      {panel.value === "jobs" && (
        <JobList
          jobs={jobs}
          records={records}
          onCameBack={onCameBack}
          onOpened={() => {
            panel.value = undefined
          }}
        />
      )}
    </>
  )
}

interface ToolProps {
  readonly panel: ReadonlySignal<Panel>
  readonly name: Panel
  readonly onToggle: (name: Panel) => void
  readonly children: preact.ComponentChildren
}

function Tool({ panel, name, onToggle, children }: ToolProps) {
  return (
    <button type="button" aria-pressed={panel.value === name} onClick={() => onToggle(name)}>
      {children}
    </button>
  )
}
