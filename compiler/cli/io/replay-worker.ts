/** A worker thread of a replay: takes batches until it is told that there are no more, then gives its counts. */
import { parentPort, workerData } from "node:worker_threads"
import type { Batch } from "../../cases/table/batch.ts"
import { Desk, type Work } from "./replay-task.ts"

const desk = new Desk(workerData as Work)

parentPort?.on("message", (batch: Batch | null) => {
  if (batch === null) {
    parentPort?.postMessage({ sums: desk.sums })
    parentPort?.close()
  } else parentPort?.postMessage({ walked: desk.take(batch) })
})
