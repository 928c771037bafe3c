import type { ReadonlySignal, Signal } from "@preact/signals"
import SheetIcon from "lucide/dist/esm/icons/clipboard-list.mjs"
import ListIcon from "lucide/dist/esm/icons/list-checks.mjs"
import PlusIcon from "lucide/dist/esm/icons/plus.mjs"
import type { ComponentChildren } from "preact"
import type { Recorded } from "../../compiler/run/index.ts"
import { Icon } from "../icon.tsx"
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
          <Tool
            panel={panel}
            name="jobs"
            label={open === 1 ? "1 job" : `${open} jobs`}
            icon={ListIcon}
            onToggle={toggle}
          >
            {open}
            <span class="word">{open === 1 ? " job" : " jobs"}</span>
          </Tool>
          {job && (
            <>
              <button
                type="button"
                class="tool"
                title="New job; this one stays in the list"
                aria-label="New job"
                onClick={() => {
                  panel.value = undefined
                  job.host.begin()
                }}
              >
                <Icon of={PlusIcon} />
                <span class="word">New job</span>
              </button>
              <Tool panel={panel} name="sheet" label="Handover sheet" icon={SheetIcon} onToggle={toggle}>
                <span class="word">Handover sheet</span>
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
  readonly icon: typeof ListIcon
  /** Where its words are hidden on a phone. */
  readonly label?: string
  readonly onToggle: (name: Panel) => void
  readonly children: ComponentChildren
}

function Tool({ panel, name, icon, label, onToggle, children }: ToolProps) {
  return (
    <button
      type="button"
      class="tool"
      aria-label={label}
      title={label}
      aria-pressed={panel.value === name}
      onClick={() => onToggle(name)}
    >
      <Icon of={icon} />
      {children}
    </button>
  )
}
