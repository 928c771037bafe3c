import { effect, signal, untracked } from "@preact/signals"
import { type Graph, type Recorded, RunError } from "../../compiler/run/index.ts"
import type { Words } from "../../compiler/wording/words.ts"
import { isFresh, type JobStore, Jobs } from "../bench/jobs.ts"
import { takenOver } from "../bench/kept-job.ts"
import { readStored, secondJob } from "../bench/saved-job.ts"
import { BenchWords } from "../bench/words.ts"
import { remindOfWaits } from "../desk/reminders.ts"
import { rulesetName, rulesetTitle } from "../state/ruleset-name.ts"
import { compiled, projectsOpened, say, station } from "../state/state.ts"
import {
  dropGraphsWithout,
  dropJob,
  dropValue,
  storedJobs,
  storedShelf,
  storedValue,
  storeJob,
  storeValue,
} from "../state/store.ts"
import { hearTabs, tellTabs } from "../state/tabs.ts"
import { addRecord, recordsOf } from "./case-records.ts"
import { keepGraph, keptGraph } from "./kept-graphs.ts"
import { go } from "./navigate.ts"

/** The jobs at the bench. They survive a reload, and each stays on the graph that it began with. */

/** A job that was stored here can't be read; forgotten once another is stored. */
let unreadable = false

const store: JobStore = {
  all: storedJobs,
  put(job) {
    if (unreadable) void dropValue("job")
    unreadable = false
    void storeValue("activeJob", job.key)
    return storeJob(job)
  },
  drop: dropJob,
  async graphOf({ source, ruleset }) {
    const made = compiled.peek()?.graph
    if (made?.ruleset.source === source) return made
    // Older versions of this page kept a job without its graph.
    return (await keptGraph(source)) ?? (made?.ruleset.name === ruleset.name ? made : undefined)
  },
  putGraph: keepGraph,
}

const benchWords = new BenchWords()
/** Whether the catalogues beside the English one are here, or on their way. */
let isFetched = false

function wordsIn(language: string): Words {
  if (!isFetched && !/^en\b/.test(language)) void fetchCatalogues()
  return benchWords.in(language)
}

async function fetchCatalogues(): Promise<void> {
  isFetched = true
  const { LANGUAGES, pageTexts } = await import("../../compiler/wording/catalogues.ts")
  benchWords.add(Object.fromEntries(LANGUAGES.map((language) => [language, pageTexts(language) ?? {}])))
  jobs.speak()
}

export const jobs: Jobs = new Jobs({
  store,
  say: (text, action) => say(text, action ? { action } : {}),
  async record({ ruleset: { name } }, record) {
    await addRecord(name, record)
    const action = { label: "Show the cases", run: () => go("cases") }
    say(`Added ${record.id} to the cases of ${name}.`, name === rulesetName.peek() ? { action } : {})
  },
  tell: () => tellTabs({ of: "job" }),
  words: wordsIn,
  keepLanguage: (language) => void storeValue("language", language),
})

/** Begins a second job of the machine that a recorded case is of: it came back. */
export async function startSecondJob(record: Recorded, graph = compiled.peek()?.graph): Promise<void> {
  if (!graph) return
  const kept = jobs.recorded
    .peek()
    .find(({ id, ruleset }) => id === record.id && ruleset.name === graph.ruleset.name)
  // The job itself knows more than its record: what couldn't be done, and the notes.
  if (kept && (await jobs.resume(kept.key))) jobs.current.peek()?.host.comeBack()
  else if (!beginFromRecord(graph, record)) return
  go("bench")
}

function beginFromRecord(graph: Graph, record: Recorded): boolean {
  try {
    jobs.beginWith(graph, secondJob(graph, record))
    return true
  } catch (error) {
    if (!(error instanceof RunError)) throw error
    say(`This record can't be reopened: ${error.message}`, { bad: true })
    return false
  }
}

/** What the job at hand can come back from: the recorded cases of its ruleset. */
export const recordsAtHand = async (): Promise<Recorded[]> => {
  const name = jobs.current.peek()?.graph.ruleset.name
  return name === undefined ? [] : recordsOf(name)
}

/** Older versions of this page kept one job, without what it was of: it was of the project that is kept too. */
async function takeOver(): Promise<void> {
  const stored = readStored(await storedValue("job"))
  unreadable = stored.unreadable ?? false
  if (!stored.job) return
  const name = rulesetName.peek()
  const ruleset = { name, title: rulesetTitle.peek() ?? name, version: "" }
  if (stored.job.steps.length > 0) await storeJob(takenOver(stored.job, { ruleset, complaint: "" }))
  await dropValue("job")
}

/** Which of the opened projects the job at hand was looked at with. */
let lookedAt = -1
/** The graph of another ruleset than the one at hand, on which somebody began a job. */
let chosen: Graph | undefined
/** A job is being fetched; nothing else is to take its place meanwhile. */
const fetching = signal(false)

export async function startBench(): Promise<void> {
  await takeOver()
  jobs.speak([(await storedValue("language")) ?? "", ...navigator.languages])
  await jobs.load()
  const all = [...jobs.open.peek(), ...jobs.recorded.peek(), ...(await storedShelf())]
  void dropGraphsWithout(new Set(all.map(({ source }) => source)))
  hearTabs((told) => {
    if (told.of === "job") void jobs.heard()
  })
  remindOfWaits(jobs, () => go("bench"))
  const active = await storedValue("activeJob")
  if (active !== undefined && !unreadable && jobs.open.peek().some(({ key }) => key === active)) {
    lookedAt = projectsOpened.peek()
    await jobs.resume(active)
  }
  effect(() => {
    const graph = compiled.value?.graph
    projectsOpened.value
    if (station.value !== "bench" || !graph || fetching.value) return
    untracked(() => void follow(graph))
  })
}

/** A new job on any graph, whatever text is at hand. */
export function beginOn(graph: Graph): void {
  chosen = graph
  jobs.begin(graph)
}

/** Keeps the bench in line with the ruleset at hand, without taking a job away from its own. */
async function follow(graph: Graph): Promise<void> {
  const job = jobs.current.peek()
  if (job?.compiled === graph) return
  if (job && job.graph.ruleset.source === graph.ruleset.source) return jobs.moveTo(graph)
  const isWanted = job && (!isFresh(job) || job.compiled === chosen)
  if (isWanted && lookedAt === projectsOpened.peek()) return
  lookedAt = projectsOpened.peek()
  if (unreadable) return jobs.begin(graph, { unreadable })
  const { source, name } = graph.ruleset
  const open = jobs.open.peek()
  const own = open.find((each) => each.source === source) ?? open.find(({ ruleset }) => ruleset.name === name)
  if (job && !own) return jobs.begin(graph)
  fetching.value = true
  if (!own || !(await jobs.resume(own.key))) jobs.begin(graph)
  fetching.value = false
}
