import { planWorker } from "./ahead.ts"
import type { FromWorker, PlanRequest, PlanUpdate, ToWorker } from "./plan-messages.ts"

/**
 * Analysis and planning in a worker of their own. A new text does not wait for the old one: a busy worker is ended and a
 * spare one, loaded once there was a first result, takes the job. `stop` lets the plan in hand be written as it is.
 */
export class PlanRunner {
  readonly #tell: (update: PlanUpdate) => void
  #current: Worker | undefined
  #spare: Worker | undefined
  #busy = false
  #version = 0

  constructor(tell: (update: PlanUpdate) => void) {
    this.#tell = tell
  }

  run(request: PlanRequest): void {
    if (this.#busy) this.#drop()
    this.#current ??= this.#take()
    this.#busy = true
    this.#version = request.version
    this.#current.postMessage({ run: request } satisfies ToWorker)
  }

  /** Ends the search and keeps the best plan so far. */
  stop(): void {
    if (this.#busy) this.#current?.postMessage({ stop: true } satisfies ToWorker)
  }

  /** Ends everything at once: the text changed. */
  cancel(): void {
    if (this.#busy) this.#drop()
  }

  /** Nothing more will be asked of it: no worker stays. */
  end(): void {
    this.#drop()
    this.#spare?.terminate()
    this.#spare = undefined
  }

  #drop(): void {
    this.#current?.terminate()
    this.#current = undefined
    this.#busy = false
  }

  #take(): Worker {
    const worker = this.#spare ?? planWorker()
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
      // Not before there is something to show: on a slow line it would only be in the way.
      if (data.kind === "compiled" || data.kind === "end") this.#spare ??= planWorker()
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
