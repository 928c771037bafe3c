import { effect, type ReadonlySignal, type Signal, signal, untracked } from "@preact/signals"
import { render } from "preact"
import { type Graph, type Recorded, RunError, type Session } from "../../compiler/run/index.ts"
import { problemText } from "../../compiler/ship/runner-text.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import { JobStation, type StationProps } from "../bench/job-station.tsx"
import type { Jobs } from "../bench/jobs.ts"
import type { OpenJob } from "../bench/open-job.ts"
import { keepPictures, pictureAddresses } from "../bench/pictures.tsx"
import { type Message, Said } from "../bench/said.tsx"
import { readStored, secondJob } from "../bench/saved-job.ts"
import { BenchWords, type TextsByLanguage } from "../bench/words.ts"
import { ownJobs } from "./own-jobs.ts"
import { benchStyle } from "./style.ts"
import type { BenchElement, BenchEventMap, BenchJob } from "./types.ts"

/** What can be set before the element is defined, and is taken over then. */
const SETTABLE = ["pictures", "texts", "graph", "job", "records", "station"] as const

/**
 * The bench as an element of any page. Whoever embeds it gives a graph and hears its events; the playground and the page
 * that ships give a `station`, whose jobs they keep themselves.
 */
export class RuleoutBench extends HTMLElement implements BenchElement {
  static readonly observedAttributes = ["src", "lang"]
  readonly #said = signal<Message | undefined>(undefined)
  readonly #problem = signal("")
  readonly #station = signal<StationProps | undefined>(undefined)
  readonly #words = new BenchWords()
  #texts: TextsByLanguage = {}
  /** Those of a graph that was given. */
  readonly #own: Jobs
  #graph: Graph | undefined
  #records: readonly Recorded[] = []
  #kept: BenchJob | undefined
  #stop: (() => void) | undefined
  /** What was told last: a job that is only looked at has no step to tell. */
  #told: readonly [OpenJob, Session] | undefined

  constructor() {
    super()
    this.attachShadow({ mode: "open" }).adoptedStyleSheets = [benchStyle()]
    this.#own = ownJobs({
      words: this.#words.in,
      say: (text, action) => {
        this.#said.value = { text, action }
      },
      record: (record) => {
        this.#records = [record, ...this.#records.filter(({ id }) => id !== record.id)]
        this.#tell("ruleout-record", { record })
      },
    })
  }

  connectedCallback(): void {
    for (const name of SETTABLE) this.#takeOver(name)
    this.#speak()
    this.#stop = effect(() => this.#hear())
    render(
      <Bench own={this.#own} station={this.#station} said={this.#said} problem={this.#problem} />,
      this.shadowRoot as ShadowRoot,
    )
  }

  disconnectedCallback(): void {
    this.#stop?.()
    render(null, this.shadowRoot as ShadowRoot)
  }

  attributeChangedCallback(name: string, _: string | null, value: string | null): void {
    if (name === "lang") this.#speak()
    else if (value) void this.#fetch(value)
  }

  get src(): string {
    return this.getAttribute("src") ?? ""
  }
  set src(address: string) {
    this.setAttribute("src", address)
  }

  get graph(): Graph | undefined {
    return this.#graph
  }
  set graph(graph: Graph | undefined) {
    this.#graph = graph
    this.#begin()
  }

  get pictures(): Readonly<Record<string, string>> {
    return pictureAddresses.peek()
  }
  set pictures(addresses: Readonly<Record<string, string>>) {
    keepPictures(addresses)
  }

  get texts(): TextsByLanguage {
    return this.#texts
  }
  set texts(texts: TextsByLanguage) {
    this.#texts = texts
    this.#words.add(texts)
    this.#own.speak()
  }

  get job(): BenchJob | undefined {
    return this.#station.peek()?.jobs.current.peek()?.saved.peek() ?? this.#kept
  }
  set job(job: BenchJob | undefined) {
    this.#kept = job
    this.#begin()
  }

  get records(): readonly Recorded[] {
    return this.#records
  }
  set records(records: readonly Recorded[]) {
    this.#records = records
  }

  get session(): Session | undefined {
    return this.#station.peek()?.jobs.current.peek()?.session.peek()
  }

  get station(): StationProps | undefined {
    return this.#station.peek()
  }
  set station(station: StationProps | undefined) {
    this.#station.value = station
  }

  #takeOver(name: (typeof SETTABLE)[number]): void {
    const own = Object.getOwnPropertyDescriptor(this, name)
    if (!own) return
    Reflect.deleteProperty(this, name)
    Reflect.set(this, name, own.value)
  }

  async #fetch(address: string): Promise<void> {
    const words = this.#own.words.peek()
    try {
      const answer = await fetch(address)
      if (!answer.ok) throw new Error(words.say(m.serverSays, { status: String(answer.status) }))
      const graph = (await answer.json()) as Graph
      if (address === this.src) this.graph = graph
    } catch (error) {
      if (address === this.src) this.#fail(words.say(m.loadFailed, { reason: String(error) }))
    }
  }

  /** The nearest `lang` holds, as everywhere in HTML. */
  #speak(): void {
    const lang = this.closest("[lang]")?.getAttribute("lang")
    this.#own.speak(lang ? [lang] : [])
  }

  #begin(): void {
    const graph = this.#graph
    if (!graph) return
    const kept = this.#kept
    this.#kept = undefined
    const { job, unreadable = false } = readStored(kept)
    try {
      // With its notes and its clock, which a job of an older page doesn't have.
      this.#own.begin(graph, job ? { job: { ...kept, ...job } } : { unreadable })
    } catch (error) {
      if (!(error instanceof RunError)) throw error
      this.#fail(error.message)
      return
    }
    this.#problem.value = ""
    this.station = {
      jobs: this.#own,
      records: async () => this.#records.slice(),
      onCameBack: (record) => this.#comeBack(graph, record),
    }
  }

  #comeBack(graph: Graph, record: Recorded): void {
    try {
      this.#own.beginWith(graph, secondJob(graph, record))
    } catch (error) {
      if (!(error instanceof RunError)) throw error
      const words = this.#own.words.peek()
      this.#said.value = { text: words.say(m.cannotReopen, { reason: problemText(error, words) }) }
    }
  }

  #fail(message: string): void {
    this.station = undefined
    this.#problem.value = message
    this.#tell("ruleout-problem", { message })
  }

  #hear(): void {
    const job = this.#station.value?.jobs.current.value
    if (!job) return
    const session = job.session.value
    const [before, last] = this.#told ?? []
    this.#told = [job, session]
    if (job !== before || session === last) return
    const { log, next } = session
    untracked(() => this.#tell("ruleout-step", { job: job.saved.peek(), log, next }))
  }

  #tell<K extends keyof BenchEventMap>(type: K, detail: BenchEventMap[K]["detail"]): void {
    this.dispatchEvent(new CustomEvent(type, { detail, bubbles: true, composed: true }))
  }
}

interface Props {
  readonly own: Jobs
  readonly station: ReadonlySignal<StationProps | undefined>
  /** Why no job can be shown. */
  readonly problem: ReadonlySignal<string>
  readonly said: Signal<Message | undefined>
}

function Bench({ own, station, problem, said }: Props) {
  const at = station.value
  const jobs = at?.jobs ?? own
  const words = jobs.words.value
  return (
    <div lang={jobs.current.value?.graph.ruleset.language ?? words.language} dir={words.direction}>
      {problem.value !== "" && (
        <p class="warned" role="alert">
          {problem}
        </p>
      )}
      {at && (
        <JobStation {...at} bar={<slot name="bar" />} more={<slot name="more" />}>
          <slot />
        </JobStation>
      )}
      <Said words={words} said={at?.said ?? said} />
    </div>
  )
}

/** Two scripts of a page may both bring the bench: the first one's is taken. */
export function defineBench(): void {
  if (!customElements.get("ruleout-bench")) customElements.define("ruleout-bench", RuleoutBench)
}
