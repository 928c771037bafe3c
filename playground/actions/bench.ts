import { effect, type ReadonlySignal, signal } from "@preact/signals"
import { type Recorded, RunError } from "../../compiler/run/index.ts"
import { type Host, type OpenJob, openJob } from "../bench/open-job.ts"
import { readStored, type SavedJob, type Stored, secondJob } from "../bench/saved-job.ts"
import { compiled, say, station } from "../state.ts"
import { storedValue, storeValue } from "../store.ts"
import { addRecord } from "./cases.ts"
import { go } from "./navigate.ts"

/** The job at the bench. It survives a reload, and moves to a newer graph when somebody looks at it. */
const current = signal<OpenJob | undefined>(undefined)
export const openedJob: ReadonlySignal<OpenJob | undefined> = current
export const savedJob = signal<SavedJob | undefined>(undefined)

const today = () => new Date().toISOString().slice(0, 10)

const host: Host = {
  store(next) {
    savedJob.value = next
    storeValue("job", next).catch(() => say("The job couldn't be stored in this browser.", { bad: true }))
  },
  newId: () =>
    `J-${today().slice(2).replaceAll("-", "")}-${String(Math.floor(Math.random() * 1000)).padStart(3, "0")}`,
  today,
  record: {
    label: "Record the job",
    save(record) {
      addRecord(record)
      say(`Added ${record.id} to the cases.`, { action: { label: "Show the cases", run: () => go("cases") } })
    },
  },
}

/** Begins a second job of the machine that a recorded case is of: it came back. */
export function startSecondJob(record: Recorded): void {
  const made = compiled.value
  if (!made) return
  try {
    const job = secondJob(made.graph, record)
    current.value = openJob(made.graph, host, { job })
    host.store(job)
    go("bench")
  } catch (error) {
    if (!(error instanceof RunError)) throw error
    say(`This record can't be reopened: ${error.message}`, { bad: true })
  }
}

/** What can't be read is forgotten as soon as something else is stored. */
function jobNow({ unreadable = false }: Stored): Stored {
  const job = savedJob.peek()
  return job ? { job } : { unreadable }
}

export async function startBench(): Promise<void> {
  const stored = readStored(await storedValue("job"))
  savedJob.value = stored.job
  effect(() => {
    const made = compiled.value
    if (station.value !== "bench" || !made || current.peek()?.graph === made.graph) return
    current.value = openJob(made.graph, host, jobNow(stored))
  })
}
