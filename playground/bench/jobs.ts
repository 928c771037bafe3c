import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals"
import { inLanguage, languageFor, languagesOf } from "../../compiler/graph/in-language.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import type { Recorded, Session } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import type { Words } from "../../compiler/wording/words.ts"
import { type KeptJob, keptJob } from "./kept-job.ts"
import { clockTime, type OpenJob, openJob } from "./open-job.ts"
import { jobAfter, readStored, type SavedJob, type Stored } from "./saved-job.ts"
import type { JobTexts } from "./words.ts"

/** Where jobs are kept; the playground has a database, a page shipped on its own the browser's storage. */
export interface JobStore {
  readonly all: () => Promise<readonly KeptJob[]>
  /** False where another tab has stored that revision of it, or a later one. */
  readonly put: (job: KeptJob) => Promise<boolean>
  readonly drop: (key: string) => Promise<void>
  /** The graph that a job runs on; undefined where it isn't here. */
  readonly graphOf: (job: KeptJob) => Promise<Graph | undefined>
  readonly putGraph: (graph: Graph) => void
}

export interface JobsHost {
  readonly store: JobStore
  readonly say: (text: string, action?: { readonly label: string; readonly run: () => void }) => void
  readonly record: (graph: Graph, record: Recorded) => void
  /** Tells other tabs that a job was stored. */
  readonly tell: () => void
  /** The same words each time, until there are texts that weren't there before. */
  readonly words: (language: string) => Words
  /** Somebody has chosen a language, for this time and the next. */
  readonly keepLanguage: (language: string) => void
}

interface Current {
  readonly key: string
  readonly rev: number
  readonly job: OpenJob
}

/** How many recorded jobs stay, so that one that comes back goes on with all that was found. */
const RECORDED_KEPT = 30

/** All jobs of this browser, any number over any rulesets, each on the graph it began with; one is looked at. */
export class Jobs {
  readonly #host: JobsHost
  readonly say: JobsHost["say"]
  readonly #all = signal<readonly KeptJob[]>([])
  readonly #current: Signal<Current | undefined> = signal(undefined)
  #graphs = new WeakSet<Graph>()
  /** Tags of the languages that are wanted, the most welcome first. */
  readonly languages = signal<readonly string[]>([])

  /** Those that aren't recorded yet, the last touched first. */
  readonly open = computed(() => this.#all.value.filter(({ recorded }) => !recorded))
  readonly recorded = computed(() => this.#all.value.filter(({ recorded }) => recorded))
  readonly current: ReadonlySignal<OpenJob | undefined> = computed(() => this.#current.value?.job)
  readonly currentKey = computed(() => this.#current.value?.key)

  /** Those of the job at hand. */
  readonly words = computed(
    () => this.current.value?.words ?? this.#host.words(this.languages.value[0] ?? "en"),
  )

  constructor(host: JobsHost) {
    this.#host = host
    this.say = host.say
  }

  /** Shows the jobs in the first of these languages that their graphs have, and in the words that are there by now. */
  speak(languages = this.languages.peek()): void {
    this.languages.value = languages
    const at = this.#current.peek()
    if (at && this.#textsOf(at.job.compiled).words !== at.job.words) this.moveTo(at.job.compiled)
  }

  choose(language: string): void {
    this.#host.keepLanguage(language)
    this.speak([language, ...this.languages.peek()])
  }

  async load(): Promise<void> {
    const all = (await this.#host.store.all()).filter(isKept).sort((a, b) => b.touched - a.touched)
    const dropped = all.filter(({ recorded }) => recorded).slice(RECORDED_KEPT)
    for (const { key } of dropped) await this.#host.store.drop(key)
    this.#all.value = all.filter((each) => !dropped.includes(each))
  }

  /** A new job on this graph. It is in the list once something was found. */
  begin(graph: Graph, stored: Stored = {}): void {
    this.#leave()
    this.#look(graph, newKey(), 0, stored)
  }

  /** Begins a job with what is known of it already. */
  beginWith(graph: Graph, job: SavedJob): void {
    this.begin(graph, { job })
    const { job: open } = this.#opened()
    this.#keep(open.saved.peek(), open.session.peek())
  }

  /** Goes on with a kept job, on its own graph or on the one given. False where neither is here. */
  async resume(key: string, on?: Graph): Promise<boolean> {
    const kept = this.#all.peek().find((each) => each.key === key)
    if (!kept) return false
    const graph = on ?? (await this.#host.store.graphOf(kept))
    if (!graph) return false
    if (this.#current.peek()?.key !== key) this.#leave()
    this.#look(graph, key, kept.rev, { job: kept })
    return true
  }

  /** The job at hand on another graph: a better plan of its ruleset, or a newer text. */
  moveTo(graph: Graph): void {
    const at = this.#current.peek()
    if (at) this.#look(graph, at.key, at.rev, { job: at.job.saved.peek(), unreadable: at.job.unreadable })
  }

  /** Throws a job away; there is a way back. */
  async drop(key: string): Promise<void> {
    const kept = this.#all.peek().find((each) => each.key === key)
    if (!kept) return
    this.#all.value = this.#all.peek().filter((each) => each !== kept)
    const open = this.#current.peek()
    if (open?.key === key) this.begin(open.job.compiled)
    await this.#host.store.drop(key)
    this.#host.tell()
    const words = this.words.peek()
    this.say(words.say(m.threwAway, kept), { label: words.say(m.haveItBack), run: () => this.#restore(kept) })
  }

  /** Another tab has stored a job. */
  async heard(): Promise<void> {
    await this.load()
    const at = this.#current.peek()
    const kept = this.#all.peek().find(({ key }) => key === at?.key)
    if (!at || !kept || kept.rev <= at.rev) return
    if (await this.resume(at.key, kept.source === at.job.graph.ruleset.source ? at.job.compiled : undefined))
      this.say(this.words.peek().say(m.wentOnElsewhere, kept))
  }

  async #restore(kept: KeptJob): Promise<void> {
    await this.#host.store.put(kept)
    this.#host.tell()
    await this.load()
  }

  /** The job at hand, after one was begun. */
  #opened() {
    const open = this.#current.peek()
    if (!open) throw new Error("No job was begun")
    return open
  }

  /** Nobody works at a job that isn't looked at. */
  #leave(): void {
    const job = this.#current.peek()?.job
    if (job?.saved.peek().clock?.since !== undefined) job.runClock(false)
  }

  /** The graph in the language in which the jobs are shown. */
  shown(graph: Graph): Graph {
    const language = languageFor(graph, this.languages.value)
    return language === undefined ? graph : inLanguage(graph, language)
  }

  #textsOf(compiled: Graph): JobTexts {
    const graph = this.shown(compiled)
    return { graph, words: this.#host.words(String(languagesOf(graph)[0])) }
  }

  #look(graph: Graph, key: string, rev: number, stored: Stored): void {
    const host = this.#host
    const job = openJob(
      { compiled: graph, ...this.#textsOf(graph) },
      {
        store: (saved, session) => this.#keep(saved, session),
        newId,
        today,
        begin: () => this.begin(graph),
        comeBack: () => this.beginWith(graph, jobAfter(job.saved.peek())),
        record: (record) => host.record(graph, record),
      },
      stored,
    )
    this.#current.value = { key, rev, job }
  }

  #keep(saved: SavedJob, session: Session): void {
    const { key, rev, job } = this.#opened()
    const kept = keptJob(job, session, saved, { key, rev: rev + 1, touched: Date.now() })
    this.#current.value = { key, rev: kept.rev, job }
    this.#all.value = [kept, ...this.#all.peek().filter((each) => each.key !== key)]
    if (!this.#graphs.has(job.compiled)) {
      this.#graphs.add(job.compiled)
      this.#host.store.putGraph(job.compiled)
    }
    void this.#put(kept)
  }

  /** What two tabs did at once to one job is kept as two jobs. */
  async #put(kept: KeptJob): Promise<void> {
    if (await this.#host.store.put(kept)) return this.#host.tell()
    const at = this.#current.peek()
    if (at?.key !== kept.key) return
    const job = { ...at.job.saved.peek(), id: `${kept.id}-b` }
    this.#look(at.job.compiled, newKey(), 0, { job })
    this.#keep(job, this.#opened().job.session.peek())
    this.say(this.words.peek().say(m.keptAs, { id: kept.id, other: job.id }))
    await this.load()
  }
}

/** What was stored by who knows which version of the page. */
function isKept(job: KeptJob): boolean {
  return (
    typeof job?.key === "string" && typeof job.ruleset?.name === "string" && readStored(job).job !== undefined
  )
}

const today = () => new Date().toISOString().slice(0, 10)
const newId = () =>
  `J-${today().slice(2).replaceAll("-", "")}-${String(Math.floor(Math.random() * 1000)).padStart(3, "0")}`
const newKey = () => crypto.randomUUID?.() ?? `${Date.now()}-${Math.random()}`

/** Whether nothing would be lost if another job took its place. */
export function isFresh(job: OpenJob): boolean {
  const { steps, notes = "", ownerStopsAt, waitsUntil, clock, passed } = job.saved.peek()
  return (
    steps.length === 0 &&
    notes === "" &&
    ownerStopsAt === undefined &&
    waitsUntil === undefined &&
    clockTime(clock, Date.now()) === 0 &&
    passed.every((runs) => runs === 0)
  )
}
