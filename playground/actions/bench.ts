import { effect, type ReadonlySignal, signal } from "@preact/signals"
import { asJob, type Job } from "../bench/job.ts"
import { type Desk, type Host, makeDesk } from "../bench/job-session.ts"
import { compiled, say, station } from "../state.ts"
import { keep, kept } from "../store.ts"
import { addRecord } from "./cases.ts"
import { go } from "./navigate.ts"

/** The job at the bench. It outlives a reload, and moves along to a newer graph when somebody looks at it. */
const current = signal<Desk | undefined>(undefined)
export const desk: ReadonlySignal<Desk | undefined> = current
export const job = signal<Job | undefined>(undefined)

const today = () => new Date().toISOString().slice(0, 10)

const host: Host = {
  keep(next) {
    job.value = next
    keep("job", next).catch(() => say("The job could not be kept in this browser.", { bad: true }))
  },
  newId: () =>
    `J-${today().slice(2).replaceAll("-", "")}-${String(Math.floor(Math.random() * 1000)).padStart(3, "0")}`,
  today,
  record: {
    label: "Record the job",
    save(record) {
      addRecord(record)
      say(`${record.id} is among the cases.`, { action: { label: "Show the cases", run: () => go("cases") } })
    },
  },
}

export async function startBench(): Promise<void> {
  job.value = asJob(await kept("job"))
  effect(() => {
    const made = compiled.value
    if (station.value !== "bench" || !made || current.peek()?.graph === made.graph) return
    current.value = makeDesk(made.graph, host, job.peek())
  })
}
