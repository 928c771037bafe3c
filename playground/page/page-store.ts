import type { Graph, Recorded } from "../../compiler/run/index.ts"
import type { JobStore } from "../bench/jobs.ts"
import { type KeptJob, takenOver } from "../bench/kept-job.ts"
import { readStored } from "../bench/saved-job.ts"

/**
 * What a page shipped on its own keeps in the browser's storage, where the browser gives it one: its jobs and their
 * records. Where it gives none, they last as long as the page is open.
 */
export class PageStore {
  readonly #place: string
  readonly #graph: Graph
  /** What the browser didn't take. */
  readonly #memory = new Map<string, string>()

  constructor(graph: Graph) {
    this.#graph = graph
    this.#place = `ruleout.${graph.ruleset.name}.`
    this.#takeOver()
  }

  /** Whether all that was stored will be there the next time. */
  get keeps(): boolean {
    return this.#memory.size === 0
  }

  get records(): readonly string[] {
    return (this.#read("records") ?? "").split("\n").filter((line) => line !== "")
  }

  addRecord(record: Recorded): void {
    const others = this.records.filter((line) => !line.startsWith(`{"id":${JSON.stringify(record.id)},`))
    this.#write("records", [...others, JSON.stringify(record)].join("\n"))
  }

  /** The language that somebody chose; empty where nobody did. */
  get language(): string {
    return this.#read("language") ?? ""
  }

  keepLanguage(language: string): void {
    this.#write("language", language)
  }

  readonly jobs: JobStore = {
    all: async () => this.#list(),
    put: async (job) => {
      const list = this.#list()
      const before = list.find(({ key }) => key === job.key)
      if (before && before.rev >= job.rev) return false
      this.#writeJobs([job, ...list.filter((each) => each !== before)])
      return true
    },
    drop: async (dropped) => this.#writeJobs(this.#list().filter(({ key }) => key !== dropped)),
    // Of an older graph only the steps are here: they are done again on this one.
    graphOf: async () => this.#graph,
    putGraph: () => {},
  }

  /** Another tab has stored something. */
  listen(heard: () => void): void {
    addEventListener("storage", ({ key, newValue }) => {
      if (key === `${this.#place}jobs` && newValue !== null) heard()
    })
  }

  #list(): KeptJob[] {
    const value = parsed(this.#read("jobs"))
    return Array.isArray(value) ? (value as KeptJob[]) : []
  }

  #writeJobs(list: readonly KeptJob[]): void {
    this.#write("jobs", JSON.stringify(list))
  }

  /** Older versions of the page kept one job. One that can't be read stays where it is. */
  #takeOver(): void {
    const { job } = readStored(parsed(this.#read("job")))
    if (!job) return
    const { name, title, version } = this.#graph.ruleset
    const of = { ruleset: { name, title, version }, complaint: this.#graph.complaint.text }
    if (job.steps.length > 0) this.#writeJobs([takenOver(job, of), ...this.#list()])
    try {
      if (this.keeps) localStorage.removeItem(`${this.#place}job`)
    } catch {
      // Then it is taken over again the next time.
    }
  }

  /** True where a job is kept that can't be read. */
  get isUnreadable(): boolean {
    return readStored(parsed(this.#read("job"))).unreadable ?? false
  }

  #read(key: string): string | undefined {
    const held = this.#memory.get(key)
    if (held !== undefined) return held
    try {
      return localStorage.getItem(this.#place + key) ?? undefined
    } catch {
      return undefined
    }
  }

  #write(key: string, value: string): void {
    try {
      localStorage.setItem(this.#place + key, value)
      this.#memory.delete(key)
    } catch {
      this.#memory.set(key, value)
    }
  }
}

function parsed(text: string | undefined): unknown {
  try {
    return text === undefined ? undefined : JSON.parse(text)
  } catch {
    return text
  }
}
