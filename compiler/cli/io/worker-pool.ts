/** Several threads that replay batches in parallel. */

import { Worker } from "node:worker_threads"
import { indexGraph } from "../../cases/replay/graph-index.ts"
import type { TallyData } from "../../cases/report/counts.ts"
import { Tally } from "../../cases/report/tally.ts"
import type { Batch } from "../../cases/table/batch.ts"
import { at } from "../../run/lookup.ts"
import { type BatchResult, type ReplayInput, ReplayTask } from "./replay-task.ts"

/** Batches queued at each thread, so that it never has to wait for one. */
const AHEAD = 2

type Answer = { readonly walked: BatchResult } | { readonly data: TallyData }

/** Replays all batches and returns the tally of all. `each` gets the result of every batch, in the order of the file. */
export async function replayBatches(
  batches: AsyncIterable<Batch>,
  input: ReplayInput,
  threads: number,
  each: (walked: BatchResult) => void | Promise<void>,
): Promise<Tally> {
  const tally = new Tally(indexGraph(input.graph))
  if (threads <= 1) {
    const task = new ReplayTask(input)
    for await (const batch of batches) await each(task.take(batch))
    tally.join(task.data)
    return tally
  }
  const workers = Array.from({ length: threads }, () => new ReplayThread(input))
  try {
    // In turn, so that the answers come back in the order of the file.
    const waiting: Promise<BatchResult>[] = []
    let next = 0
    for await (const batch of batches) {
      waiting.push(at(workers, next++ % threads).take(batch))
      const first = waiting.length >= threads * AHEAD ? waiting.shift() : undefined
      if (first !== undefined) await each(await first)
    }
    for (const walked of waiting) await each(await walked)
    for (const thread of workers) tally.join(await thread.finish())
    return tally
  } finally {
    await Promise.all(workers.map((thread) => thread.stop()))
  }
}

class ReplayThread {
  readonly #worker: Worker
  readonly #answers: { resolve(answer: Answer): void; reject(error: unknown): void }[] = []

  constructor(input: ReplayInput) {
    const ending = import.meta.url.endsWith(".ts") ? "ts" : "js"
    this.#worker = new Worker(new URL(`./replay-worker.${ending}`, import.meta.url), { workerData: input })
    this.#worker.on("message", (answer: Answer) => this.#answers.shift()?.resolve(answer))
    this.#worker.on("error", (error) => {
      for (const { reject } of this.#answers.splice(0)) reject(error)
    })
  }

  async #ask(message: Batch | null): Promise<Answer> {
    const answer = new Promise<Answer>((resolve, reject) => this.#answers.push({ resolve, reject }))
    this.#worker.postMessage(message)
    return answer
  }

  async take(batch: Batch): Promise<BatchResult> {
    return ((await this.#ask(batch)) as { walked: BatchResult }).walked
  }

  async finish(): Promise<TallyData> {
    return ((await this.#ask(null)) as { data: TallyData }).data
  }

  async stop(): Promise<void> {
    await this.#worker.terminate()
  }
}
