import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import type { Progress } from "../../compiler/plan/plan.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import type { Sources } from "../graph/sources.ts"
import type { Project } from "../state.ts"
import PlanWorker from "./plan.worker.ts?worker"

/** How the analysis and the plan of the text now shown stand. */
export type PlanState =
  | { readonly kind: "idle" }
  /** The text has errors; nothing is planned. */
  | { readonly kind: "blocked" }
  | { readonly kind: "checking" }
  /** The compiler itself failed, which no text may bring about; the message is for a report. */
  | { readonly kind: "failed"; readonly message: string }
  | { readonly kind: "planning"; readonly progress: Progress }
  /** The search is over; what it found is being written as a graph. */
  | { readonly kind: "writing" }
  | { readonly kind: "ready" }
  /** Stopped by the user: the plan shown is the best so far. */
  | { readonly kind: "stopped" }
  /** The plan has more nodes than a page can hold and draw. */
  | { readonly kind: "large"; readonly nodes: number }

export interface Compiled {
  readonly version: number
  /** False while the search goes on and a better plan may follow. */
  readonly final: boolean
  /** The text that it was made from. */
  readonly project: Project
  readonly graph: Graph
  /** The document as it ships, byte for byte. */
  readonly text: string
  readonly sources: Sources
}

export interface Job {
  readonly version: number
  readonly project: Project
}

/** Graphs of more nodes stay with the command line. */
export const mostNodes = 20_000

/** What the worker tells, in order; each names the version it is of. */
export type Told =
  | { readonly kind: "state"; readonly version: number; readonly state: PlanState }
  | { readonly kind: "findings"; readonly version: number; readonly findings: readonly Diagnostic[] }
  | { readonly kind: "compiled"; readonly compiled: Compiled }

/** The graph comes over as its document alone: reading that takes a third of the time that copying the objects does. */
export type FromWorker =
  | Exclude<Told, { kind: "compiled" }>
  | { readonly kind: "compiled"; readonly compiled: Omit<Compiled, "graph"> }
  | { readonly kind: "end" }

/**
 * Analysis and planning in a worker of their own. A new text does not wait for the old one: a busy worker is ended and a
 * spare one, already loaded, takes the job. `stop` lets the plan in hand be written as it is.
 */
export class PlanRunner {
  readonly #tell: (told: Told) => void
  #current: Worker | undefined
  #spare: Worker | undefined
  #busy = false
  #version = 0

  constructor(tell: (told: Told) => void) {
    this.#tell = tell
    this.#spare = new PlanWorker()
  }

  run(job: Job): void {
    if (this.#busy) this.#drop()
    this.#current ??= this.#take()
    this.#busy = true
    this.#version = job.version
    this.#current.postMessage({ run: job })
  }

  /** Ends the search and keeps the best plan so far. */
  stop(): void {
    if (this.#busy) this.#current?.postMessage({ stop: true })
  }

  /** Ends everything at once: the text changed. */
  cancel(): void {
    if (this.#busy) this.#drop()
  }

  #drop(): void {
    this.#current?.terminate()
    this.#current = undefined
    this.#busy = false
  }

  #take(): Worker {
    const worker = this.#spare ?? new PlanWorker()
    this.#spare = undefined
    worker.addEventListener("message", ({ data }: MessageEvent<FromWorker>) => {
      if (worker !== this.#current) return
      if (data.kind === "end") this.#busy = false
      else if (data.kind === "compiled")
        this.#tell({
          kind: "compiled",
          compiled: { ...data.compiled, graph: JSON.parse(data.compiled.text) },
        })
      else this.#tell(data)
      this.#spare ??= new PlanWorker()
    })
    worker.addEventListener("error", (event) => {
      if (worker !== this.#current) return
      const state = { kind: "failed", message: event.message } as const
      this.#drop()
      this.#tell({ kind: "state", version: this.#version, state })
    })
    return worker
  }
}
