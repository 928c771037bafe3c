import "./page.css"
import { signal } from "@preact/signals"
import { render } from "preact"
import type { Graph, Recorded } from "../../compiler/run/index.ts"
import { Jobs } from "../bench/jobs.ts"
import { keepPictures } from "../bench/pictures.tsx"
import type { Message } from "../bench/said.tsx"
import { secondJob } from "../bench/saved-job.ts"
import { Desk } from "../desk/desk.tsx"
import { remindOfWaits } from "../desk/reminders.ts"
import { defineBench } from "../element/ruleout-bench.tsx"
import { benchStyle } from "../element/style.ts"
import { elementOf } from "../ui/element-of.ts"
import { PageStore } from "./page-store.ts"
import { sealProblem } from "./seal-problem.ts"

/**
 * The bench on its own, in one HTML file with the graph in it: no editor, no network, no server. Jobs and records stay
 * in the browser's storage for this page.
 */
const graph = JSON.parse(elementOf("graph").textContent) as Graph
const pictures = document.getElementById("pictures")
if (pictures) keepPictures(JSON.parse(pictures.textContent))
const store = new PageStore(graph)
/** Counted up with each record, which are no signals of their own. */
const records = signal(store.records.length)
const said = signal<Message | undefined>(undefined)

const jobs = new Jobs({
  store: store.jobs,
  say: (text, action) => {
    said.value = { text, action }
  },
  record: (_, record) => {
    store.addRecord(record)
    records.value = store.records.length
  },
  // The browser tells other tabs by itself.
  tell: () => {},
  keepLanguage: (language) => store.keepLanguage(language),
})
jobs.speak([store.language, ...navigator.languages])

async function start(): Promise<void> {
  await jobs.load()
  store.listen(() => void jobs.heard())
  const [last] = jobs.open.peek().concat(jobs.recorded.peek())
  remindOfWaits(jobs)
  if (!last || !(await jobs.resume(last.key))) jobs.begin(graph, { unreadable: store.isUnreadable })
}

function saveRecords(): void {
  const text = `${store.records.join("\n")}\n`
  const address = URL.createObjectURL(new Blob([text], { type: "application/x-ndjson" }))
  const link = document.createElement("a")
  link.href = address
  link.download = `${graph.ruleset.name}.cases.jsonl`
  link.click()
  setTimeout(() => URL.revokeObjectURL(address), 10_000)
}

defineBench()
// Its colours and buttons are the page's too.
document.adoptedStyleSheets = [benchStyle()]

const station = {
  jobs,
  said,
  records: async () => store.records.map((line) => JSON.parse(line) as Recorded).reverse(),
  onCameBack: (record: Recorded) => jobs.beginWith(graph, secondJob(graph, record)),
}

const problem = sealProblem(graph, new Date().toISOString())

function Page() {
  const count = records.value
  // Read anew with every answer.
  const isKept = jobs.open.value && store.keeps
  const job = jobs.current.value
  return (
    <>
      <header class="page-head">
        <h1>{jobs.shown(graph).ruleset.title}</h1>
        <p class="small quiet">
          Version {graph.ruleset.version}
          {!isKept && " · This browser keeps nothing: save the records before you close the page."}
        </p>
        <p class="row no-print">
          <button type="button" disabled={count === 0} onClick={saveRecords}>
            Save {count} {count === 1 ? "record" : "records"}
          </button>
          <button type="button" onClick={() => print()}>
            Print
          </button>
        </p>
      </header>
      <main>
        {problem === undefined ? (
          <ruleout-bench station={station}>
            {job && <Desk key={jobs.currentKey.value} jobs={jobs} job={job} />}
          </ruleout-bench>
        ) : (
          <p role="alert">{problem}</p>
        )}
      </main>
    </>
  )
}

// What was found on a graph that must not be used isn't gone on with either.
const ready = problem === undefined ? start() : Promise.resolve()
void ready.then(() => render(<Page />, elementOf("page")))
