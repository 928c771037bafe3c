/** Several threads that walk batches beside each other. */
import { once } from "node:events"
import { Worker } from "node:worker_threads"
import { indexGraph } from "../../cases/replay/graph-index.ts"
import type { Sums } from "../../cases/report/counts.ts"
import { Tally } from "../../cases/report/tally.ts"
import type { Batch } from "../../cases/table/batch.ts"
import { Desk, type Walked, type Work } from "./replay-task.ts"

/** Batches that wait at a thread while it works on another, so that it never waits itself. */
const ahead = 2

type Answer = { readonly walked: Walked } | { readonly sums: Sums }

/** Walks all batches and gives the tally of all. `each` sees what came of every batch, in the order of the file. */
export async function walkAll(
  batches: AsyncIterable<Batch>,
  work: Work,
  threads: number,
  each: (walked: Walked) => void | Promise<void>,
): Promise<Tally> {
  const tally = new Tally(indexGraph(work.graph))
  if (threads <= 1) {
    const desk = new Desk(work)
    for await (const batch of batches) await each(desk.take(batch))
    tally.join(desk.sums)
    return tally
  }
  const pool = Array.from({ length: threads }, () => new Hand(work))
  try {
    // In turn, so that the answers come back in the order of the file.
    const waiting: Promise<Walked>[] = []
    let next = 0
    for await (const batch of batches) {
      waiting.push(pool[next++ % threads]!.take(batch))
      if (waiting.length >= threads * ahead) await each(await waiting.shift()!)
    }
    for (const walked of waiting) await each(await walked)
    for (const hand of pool) tally.join(await hand.finish())
    return tally
  } finally {
    await Promise.all(pool.map((hand) => hand.stop()))
  }
}

class Hand {
  readonly #worker: Worker
  readonly #answers: { resolve(answer: Answer): void; reject(problem: unknown): void }[] = []

  constructor(work: Work) {
    const ending = import.meta.url.endsWith(".ts") ? "ts" : "js"
    this.#worker = new Worker(new URL(`./replay-worker.${ending}`, import.meta.url), { workerData: work })
    this.#worker.on("message", (answer: Answer) => this.#answers.shift()?.resolve(answer))
    this.#worker.on("error", (problem) => {
      for (const { reject } of this.#answers.splice(0)) reject(problem)
    })
  }

  async #ask(message: Batch | null): Promise<Answer> {
    const answer = new Promise<Answer>((resolve, reject) => this.#answers.push({ resolve, reject }))
    this.#worker.postMessage(message)
    return answer
  }

  async take(batch: Batch): Promise<Walked> {
    return ((await this.#ask(batch)) as { walked: Walked }).walked
  }

  async finish(): Promise<Sums> {
    return ((await this.#ask(null)) as { sums: Sums }).sums
  }

  async stop(): Promise<void> {
    await this.#worker.terminate()
  }
}

/** Waits where a stream has more than it can pass on. */
export async function writeTo(stream: NodeJS.WritableStream, text: string): Promise<void> {
  if (text !== "" && !stream.write(text)) await once(stream, "drain")
}
