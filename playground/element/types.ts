import type { Entry, Graph, Recorded, Session, Step } from "../../compiler/run/index.ts"

/** A job as plain data, to be kept and given back; what else it holds is the bench's own matter. */
export interface BenchJob {
  /** Digest of the ruleset that it is of. */
  readonly source: string
  /** The number that people call it by. */
  readonly id: string
}

/** Something was found, done, taken back, or can't be done here. */
export interface StepDetail {
  /** The job after it, as plain data: given back as `job` it goes on from here. */
  readonly job: BenchJob
  /** All that was found and done so far; `reopen` of `ruleout/run` takes it. */
  readonly log: readonly Entry[]
  /** What is to be done now. */
  readonly next: Step
}

/** A job is over and recorded. */
export interface RecordDetail {
  /** One line of recorded cases, as `ruleout replay` and `ruleout fit` read them. */
  readonly record: Recorded
}

/** No job can be shown: why not, in words for people. */
export interface ProblemDetail {
  readonly message: string
}

/** The events of `<ruleout-bench>`; they bubble, and leave the shadow trees they pass. */
export interface BenchEventMap {
  "ruleout-step": CustomEvent<StepDetail>
  "ruleout-record": CustomEvent<RecordDetail>
  "ruleout-problem": CustomEvent<ProblemDetail>
}

/** `<ruleout-bench>`: the bench, with its jobs over one graph. */
export interface BenchElement extends HTMLElement {
  /** The compiled graph. A new one begins a new job. */
  graph: Graph | undefined
  /** Where the pictures of the graph are, by digest: addresses, or the pictures themselves as `data:`. */
  pictures: Readonly<Record<string, string>>
  /** By language, what the bench itself says in it: what `ruleout/bench/de` exports. English is built in. */
  texts: Readonly<Record<string, object>>
  /** Address of the compiled graph, as the attribute `src` has it. */
  src: string
  /** The language, by its tag, where the graph has it; of the nearest element where this one has none. A job goes on. */
  lang: string
  /** The job at hand. One that was kept goes on, on the graph that is there or comes. */
  job: BenchJob | undefined
  /** Recorded cases of the ruleset: any of these machines may come back. */
  records: readonly Recorded[]
  /** The runner's session of the job at hand, to look at; answers are given at the bench. */
  readonly session: Session | undefined
  addEventListener<K extends keyof BenchEventMap>(
    type: K,
    listener: (event: BenchEventMap[K]) => void,
    options?: boolean | AddEventListenerOptions,
  ): void
  addEventListener(
    type: string,
    listener: EventListenerOrEventListenerObject,
    options?: boolean | AddEventListenerOptions,
  ): void
}

declare global {
  interface HTMLElementTagNameMap {
    "ruleout-bench": BenchElement
  }
}
