import "../style/cases.css"
import { useSignal } from "@preact/signals"
import SaveIcon from "lucide/dist/esm/icons/download.mjs"
import OpenIcon from "lucide/dist/esm/icons/folder-open.mjs"
import ReplayIcon from "lucide/dist/esm/icons/rotate-cw.mjs"
import FitIcon from "lucide/dist/esm/icons/sliders-horizontal.mjs"
import CloseIcon from "lucide/dist/esm/icons/x.mjs"
import { useEffect } from "preact/hooks"
import type { Report } from "../../compiler/cases/report/report.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import { casesState, chosenCase } from "../actions/case-file.ts"
import { openFiles, readDropped } from "../actions/files.ts"
import { clearCases, foreignTable, loadCases } from "../actions/open-cases.ts"
import { replayAll, replayWhenNeeded } from "../actions/replay.ts"
import { saveCases } from "../actions/save.ts"
import { OneCase } from "../cases/case-walk.tsx"
import { ColumnMapping } from "../cases/column-mapping.tsx"
import { Compared } from "../cases/compared.tsx"
import { FitCard } from "../cases/fit.tsx"
import { Mistakes } from "../cases/mistakes.tsx"
import { NeverExercised } from "../cases/never-exercised.tsx"
import { Plots } from "../cases/plots.tsx"
import { RepairUses } from "../cases/repair-uses.tsx"
import { RuleUses } from "../cases/rule-uses.tsx"
import { Summary } from "../cases/summary.tsx"
import { CaseTable } from "../cases/table.tsx"
import { Unread } from "../cases/unread.tsx"
import { compiled } from "../state/state.ts"
import { EmptyState } from "../ui/empty-state.tsx"
import { CasesPicture } from "../ui/station-pictures.tsx"
import { Tool } from "../ui/tool.tsx"
import type { CaseRow } from "../workers/replay.worker.ts"

const ENDINGS = [".jsonl", ".csv", ".tsv"]

function CaseTools() {
  return (
    <>
      <Tool icon={ReplayIcon} disabled={!compiled.value} onClick={replayAll}>
        Replay all
      </Tool>
      <Tool icon={SaveIcon} onClick={saveCases}>
        Save cases
      </Tool>
      <Tool
        icon={FitIcon}
        onClick={() => document.getElementById("fit-title")?.scrollIntoView({ block: "start" })}
      >
        Fit to these cases
      </Tool>
      <Tool icon={CloseIcon} onClick={clearCases}>
        Close
      </Tool>
    </>
  )
}

/** Recorded cases held against the graph: figures, plots, and each case step by step. */
export function Cases() {
  const state = casesState.value
  const over = useSignal(false)
  useEffect(() => replayWhenNeeded(), [])
  const open = async () => {
    const files = await openFiles(ENDINGS)
    if (files) loadCases(files)
  }
  const drop = async (event: DragEvent) => {
    event.preventDefault()
    over.value = false
    if (event.dataTransfer) loadCases(await readDropped(event.dataTransfer.files))
  }
  const { report, rows, progress } = state
  const made = compiled.value
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: dropping a file is a second way beside the button
    <div
      class={over.value ? "page cases over" : "page cases"}
      onDragOver={(event) => {
        event.preventDefault()
        over.value = true
      }}
      onDragLeave={() => {
        over.value = false
      }}
      onDrop={drop}
    >
      {state.cases > 0 && (
        <div class="row">
          <div class="toolbar">
            <Tool icon={OpenIcon} onClick={open}>
              Open cases…
            </Tool>
            <CaseTools />
          </div>
          <span class="quiet small" role="status">
            {state.name}: {countOf(state.cases, "case")}
          </span>
        </div>
      )}
      {progress && (
        <label class="progress">
          Replaying cases: {progress.done} of {progress.of}
          <progress value={progress.done} max={progress.of} />
        </label>
      )}
      {state.failed && (
        <p class="warned" role="alert">
          {state.failed}
        </p>
      )}
      {foreignTable.value && <ColumnMapping key={foreignTable.value.name} table={foreignTable.value} />}
      {!report && <Unread diagnostics={[]} tables={state.tables} />}
      {state.cases === 0 && (
        <EmptyState title="No cases yet" picture={<CasesPicture />}>
          <p>
            A case is one finished job: a line of JSON or a row of a table (CSV). Open a file of cases, drop
            it anywhere on this page, or record jobs at the bench. Each case then shows where the ruleset
            would have led.
          </p>
          <button type="button" class="main" onClick={open}>
            Open cases…
          </button>
        </EmptyState>
      )}
      {state.cases > 0 && !made && <p class="quiet">The cases will be replayed when there is a graph.</p>}
      {report && rows && made && <Replayed report={report} rows={rows} graph={made.graph} />}
      {state.cases > 0 && <FitCard />}
    </div>
  )
}

interface ReplayedProps {
  readonly report: Report
  readonly rows: readonly CaseRow[]
  readonly graph: Graph
}

function Replayed({ report, rows, graph }: ReplayedProps) {
  const { comparison, diagnostics = [], tables } = casesState.value
  const row = rows.find((each) => each.line === chosenCase.value)
  return (
    <>
      <Summary report={report} />
      {comparison && <Compared comparison={comparison} />}
      <div class="cases-columns">
        <div class="stack">
          <Unread diagnostics={diagnostics} tables={tables} />
          <CaseTable rows={rows} />
          <Mistakes report={report} />
          <RepairUses report={report} graph={graph} />
          <RuleUses report={report} graph={graph} />
        </div>
        <div class="stack">
          {row ? <OneCase row={row} graph={graph} /> : <Plots report={report} rows={rows} />}
        </div>
      </div>
      <NeverExercised report={report} />
    </>
  )
}
