import "../style/tokens.css"
import "../style/base.css"
import "./page.css"
import { render } from "preact"
import type { Graph, Recorded } from "../../compiler/run/index.ts"
import { JobView } from "../bench/job-view.tsx"
import { openJob } from "../bench/open-job.ts"
import { readStored } from "../bench/saved-job.ts"
import { sealProblem } from "./seal-problem.ts"

/**
 * The bench on its own, in one HTML file with the graph in it: no editor, no network, no server. The job and the records
 * stay in the browser's storage for this page, where the browser gives it one.
 */
const graph = JSON.parse(document.getElementById("graph")!.textContent!) as Graph
const place = `ruleout.${graph.ruleset.name}`

function stored(key: string): string | null {
  try {
    return localStorage.getItem(`${place}.${key}`)
  } catch {
    return null
  }
}

function store(key: string, value: string): void {
  try {
    localStorage.setItem(`${place}.${key}`, value)
  } catch {
    // A page opened from a file may have no storage; the job then lasts as long as the page is open.
  }
}

function parsed(text: string | null): unknown {
  try {
    return text === null ? undefined : JSON.parse(text)
  } catch {
    return text
  }
}

const today = () => new Date().toISOString().slice(0, 10)
let records = stored("records") ?? ""

function addRecord(record: Recorded): void {
  const line = JSON.stringify(record)
  records = [
    ...records
      .split("\n")
      .filter((each) => each !== "" && !each.startsWith(`{"id":${JSON.stringify(record.id)},`)),
    line,
  ].join("\n")
  store("records", records)
  draw()
}

function saveRecords(): void {
  const address = URL.createObjectURL(new Blob([`${records}\n`], { type: "application/x-ndjson" }))
  const link = document.createElement("a")
  link.href = address
  link.download = `${graph.ruleset.name}.cases.jsonl`
  link.click()
  setTimeout(() => URL.revokeObjectURL(address), 10_000)
}

const problem = sealProblem(graph, new Date().toISOString())
const begin = () =>
  openJob(
    graph,
    {
      store: (saved) => store("job", JSON.stringify(saved)),
      newId: () =>
        `J-${today().slice(2).replaceAll("-", "")}-${String(Math.floor(Math.random() * 1000)).padStart(3, "0")}`,
      today,
      record: { label: "Record the job", save: addRecord },
    },
    readStored(parsed(stored("job"))),
  )
const job = problem === undefined ? begin() : undefined

function Page() {
  const count = records === "" ? 0 : records.split("\n").length
  return (
    <>
      <header class="page-head">
        <h1>{graph.ruleset.title}</h1>
        <p class="small quiet">Version {graph.ruleset.version}</p>
        <p class="row no-print">
          <button type="button" disabled={count === 0} onClick={saveRecords}>
            Save {count} {count === 1 ? "record" : "records"}
          </button>
          <button type="button" onClick={() => print()}>
            Print
          </button>
        </p>
      </header>
      <main>{job ? <JobView job={job} /> : <p role="alert">{problem}</p>}</main>
    </>
  )
}

function draw(): void {
  render(<Page />, document.getElementById("page")!)
}
draw()
