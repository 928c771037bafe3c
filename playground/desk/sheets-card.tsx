import { type Signal, useSignal } from "@preact/signals"
import { useEffect, useRef } from "preact/hooks"
import type { Entry } from "../../compiler/run/index.ts"
import { PAPERS, type Paper } from "../../compiler/ship/sheets/paper.ts"
import { SHEET_KINDS, type SheetKind, sheet } from "../../compiler/ship/sheets/sheets.ts"
import type { OpenJob } from "../bench/open-job.ts"
import { reasonOf } from "../bench/reasons.ts"
import { billsOf } from "./bills.ts"

const names: Record<SheetKind, string> = {
  intake: "Intake",
  job: "Job card",
  handover: "Handover",
  owner: "For the owner",
}
const papers: Record<Paper, string> = { a4: "A4", letter: "Letter" }

interface Props {
  readonly job: OpenJob
  /** The sheet that is shown. */
  readonly kind: Signal<SheetKind | undefined>
}

/** The job on paper: each sheet is shown as it will be printed. */
export function SheetsCard({ job, kind }: Props) {
  const paper = useSignal<Paper>("a4")
  const shown = kind.value
  return (
    <section slot="more" class="card sheets" aria-labelledby="sheets-title">
      <h2 id="sheets-title">On paper</h2>
      <div class="row">
        {SHEET_KINDS.map((each) => (
          <button
            key={each}
            type="button"
            aria-pressed={shown === each}
            onClick={() => {
              kind.value = shown === each ? undefined : each
            }}
          >
            {names[each]}
          </button>
        ))}
      </div>
      {shown && <Preview job={job} kind={shown} paper={paper} />}
    </section>
  )
}

function Preview({ job, kind, paper }: { job: OpenJob; kind: SheetKind; paper: Signal<Paper> }) {
  const frame = useRef<HTMLIFrameElement>(null)
  const text = sheetOf(job, kind, paper.value)
  const show = () => fill(frame.current, text)
  useEffect(show, [text])
  return (
    <>
      <div class="row">
        <label class="row">
          Paper
          <select
            value={paper.value}
            onChange={({ currentTarget }) => {
              paper.value = PAPERS.find((each) => each === currentTarget.value) ?? "a4"
            }}
          >
            {PAPERS.map((each) => (
              <option key={each} value={each}>
                {papers[each]}
              </option>
            ))}
          </select>
        </label>
        <button type="button" class="main" onClick={() => frame.current?.contentWindow?.print()}>
          Print {names[kind].toLowerCase()}
        </button>
      </div>
      <iframe
        ref={frame}
        title={`Sheet: ${names[kind]}`}
        onLoad={show}
        style={{ width: "100%", height: "70vh", border: "1px solid", background: "#fff" }}
      />
    </>
  )
}

function sheetOf(job: OpenJob, kind: SheetKind, paper: Paper): string {
  const { id, notes = "", ownerStopsAt } = job.saved.value
  const session = job.session.value
  const details = {
    paper,
    id,
    date: job.host.today(),
    notes,
    remarks: session.log.map((entry) => remarkOn(job, entry)),
    ...(ownerStopsAt === undefined ? {} : { ownerStopsAt }),
  }
  return sheet(kind, job.graph, session, details, billsOf(job.graph))
}

function remarkOn(job: OpenJob, entry: Entry): string | undefined {
  const minutes = "minutes" in entry && entry.minutes !== undefined ? `${entry.minutes} min` : undefined
  return reasonOf(job, entry) ?? minutes
}

/** Its style is a sheet that is made: a page whose policy names its one style allows no other that is written in. */
function fill(frame: HTMLIFrameElement | null, text: string): void {
  const [page, view] = [frame?.contentDocument, frame?.contentWindow as (Window & typeof globalThis) | null]
  if (!page || !view) return
  const written = new DOMParser().parseFromString(text, "text/html")
  const style = new view.CSSStyleSheet()
  style.replaceSync(written.querySelector("style")?.textContent ?? "")
  page.adoptedStyleSheets = [style]
  page.title = written.title
  page.documentElement.lang = written.documentElement.lang
  page.body.replaceChildren(...written.body.childNodes)
}
