import { type Signal, useSignal } from "@preact/signals"
import { useEffect, useRef } from "preact/hooks"
import type { Entry } from "../../compiler/run/index.ts"
import { PAPERS, type Paper } from "../../compiler/ship/sheets/paper.ts"
import { SHEET_KINDS, type SheetKind, sheet } from "../../compiler/ship/sheets/sheets.ts"
import * as m from "../../compiler/wording/compiled/desk.ts"
import * as sheets from "../../compiler/wording/compiled/sheets.ts"
import type { Message } from "../../compiler/wording/message.ts"
import type { OpenJob } from "../bench/open-job.ts"
import { reasonOf } from "../bench/reasons.ts"
import { billsOf } from "./bills.ts"

const names: Record<SheetKind, Message> = {
  intake: sheets.sheetIntake,
  job: sheets.sheetJob,
  handover: sheets.sheetHandover,
  owner: sheets.sheetOwner,
}

interface Props {
  readonly job: OpenJob
  /** The sheet that is shown. */
  readonly kind: Signal<SheetKind | undefined>
}

/** The job on paper: each sheet is shown as it will be printed. */
export function SheetsCard({ job, kind }: Props) {
  const { words } = job
  const paper = useSignal<Paper>("a4")
  const shown = kind.value
  return (
    <section slot="more" class="card sheets" aria-labelledby="sheets-title">
      <h2 id="sheets-title">{words.say(m.onPaper)}</h2>
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
            {words.say(names[each])}
          </button>
        ))}
      </div>
      {shown && <Preview job={job} kind={shown} paper={paper} />}
    </section>
  )
}

function Preview({ job, kind, paper }: { job: OpenJob; kind: SheetKind; paper: Signal<Paper> }) {
  const { words } = job
  const title = words.say(names[kind])
  const frame = useRef<HTMLIFrameElement>(null)
  const text = sheetOf(job, kind, paper.value)
  const show = () => fill(frame.current, text)
  useEffect(show, [text])
  return (
    <>
      <div class="row">
        <label class="row">
          {words.say(m.paper)}
          <select
            value={paper.value}
            onChange={({ currentTarget }) => {
              paper.value = PAPERS.find((each) => each === currentTarget.value) ?? "a4"
            }}
          >
            {PAPERS.map((each) => (
              <option key={each} value={each}>
                {words.say(m.paperSize, { size: each === "a4" ? "a4" : "other" })}
              </option>
            ))}
          </select>
        </label>
        <button type="button" class="main" onClick={() => frame.current?.contentWindow?.print()}>
          {words.say(m.printSheet, { sheet: title })}
        </button>
      </div>
      <iframe ref={frame} title={words.say(m.sheetTitle, { sheet: title })} onLoad={show} />
    </>
  )
}

function sheetOf(job: OpenJob, kind: SheetKind, paper: Paper): string {
  const { id, notes = "", ownerStopsAt } = job.saved.value
  const session = job.session.value
  const details = {
    paper,
    words: job.words,
    id,
    date: job.host.today(),
    notes,
    remarks: session.log.map((entry) => remarkOn(job, entry)),
    ...(ownerStopsAt === undefined ? {} : { ownerStopsAt }),
  }
  return sheet(kind, job.graph, session, details, billsOf(job.graph))
}

function remarkOn(job: OpenJob, entry: Entry): string | undefined {
  const minutes =
    "minutes" in entry && entry.minutes !== undefined ? job.words.minutes(entry.minutes) : undefined
  return reasonOf(job, entry) ?? minutes
}

/** Its style is a sheet that is made: a page whose policy names its one style allows no other that is written in. */
function fill(frame: HTMLIFrameElement | null, text: string): void {
  const [page, view] = [frame?.contentDocument, frame?.contentWindow as (Window & typeof globalThis) | null]
  if (!page || !view) return
  // Left in the text, it would be refused and complained of.
  const [head, rules = "", body] = text.split(/<\/?style>/)
  const written = new DOMParser().parseFromString(`${head}${body}`, "text/html")
  const style = new view.CSSStyleSheet()
  style.replaceSync(rules)
  page.adoptedStyleSheets = [style]
  page.title = written.title
  page.documentElement.lang = written.documentElement.lang
  page.documentElement.dir = written.documentElement.dir
  page.body.replaceChildren(...written.body.childNodes)
}
