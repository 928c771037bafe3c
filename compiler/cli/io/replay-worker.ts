/** A worker thread of a replay: takes batches until it is told that there are no more, then gives its counts. */
import { parentPort, workerData } from "node:worker_threads"
import type { Batch } from "../../cases/table/batch.ts"
import { type ReplayInput, ReplayTask } from "./replay-task.ts"

const task = new ReplayTask(workerData as ReplayInput)

parentPort?.on("message", (batch: Batch | null) => {
  if (batch === null) {
    parentPort?.postMessage({ data: task.data })
    parentPort?.close()
  } else parentPort?.postMessage({ walked: task.take(batch) })
})
