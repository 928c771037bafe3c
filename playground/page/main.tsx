import "../style/desk.css"
import "./page.css"
import { signal } from "@preact/signals"
import { render } from "preact"
import { useEffect } from "preact/hooks"
import type { Graph, Recorded } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/desk.ts"
import type { Words } from "../../compiler/wording/words.ts"
import { Jobs } from "../bench/jobs.ts"
import { keepPictures } from "../bench/pictures.tsx"
import type { Message } from "../bench/said.tsx"
import { secondJob } from "../bench/saved-job.ts"
import { BenchWords } from "../bench/words.ts"
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
const benchWords = new BenchWords()
const texts = document.getElementById("texts")
if (texts) benchWords.add(JSON.parse(texts.textContent))
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
  words: benchWords.in,
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

const problem = sealProblem(graph, new Date().toISOString(), jobs.words.peek())

function speakOf({ language, direction }: Words, title: string): void {
  document.documentElement.lang = language
  document.documentElement.dir = direction
  document.title = title
}

function Page() {
  const count = records.value
  // Read anew with every answer.
  const isKept = jobs.open.value && store.keeps
  const job = jobs.current.value
  const words = jobs.words.value
  const { title, version } = jobs.shown(graph).ruleset
  useEffect(() => speakOf(words, title), [words, title])
  return (
    <>
      <header class="page-head">
        <h1>{title}</h1>
        <p class="small quiet">
          {words.say(m.pageVersion, { version })}
          {!isKept && ` · ${words.say(m.pageKeepsNothing)}`}
        </p>
        <p class="row">
          <button type="button" disabled={count === 0} onClick={saveRecords}>
            {words.say(m.saveRecords, { n: count })}
          </button>
          <button type="button" onClick={() => print()}>
            {words.say(m.print)}
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
