import { useEffect, useState } from "preact/hooks"
import type { Jobs } from "../bench/jobs.ts"
import type { KeptJob } from "../bench/kept-job.ts"
import type { OpenJob } from "../bench/open-job.ts"
import { duration } from "../ui/figures.ts"

/** Milliseconds after which the time that is left is said anew. */
const TICK = 20_000

/** Where the step at hand waits: until when, and what can be done on another open job meanwhile. */
export function Waiting({ jobs, job }: { jobs: Jobs; job: OpenJob }) {
  const { next } = job.session.value
  const { waitsUntil } = job.saved.value
  const waits = "act" in next ? next.waits : 0
  const now = useNow(waitsUntil !== undefined)
  if (waits === 0) return null
  if (waitsUntil === undefined)
    return (
      <div class="card row">
        <span class="grow">This step waits {duration(waits)}, and the bench is free meanwhile.</span>
        <button type="button" onClick={() => job.keep({ waitsUntil: Date.now() + waits * 60_000 })}>
          It waits from now
        </button>
      </div>
    )
  const left = Math.ceil((waitsUntil - now) / 60_000)
  return (
    <section class="card" aria-label="Waiting">
      <div class="row">
        <span class="grow" role="status">
          {left > 0
            ? `Waits until ${timeOf(waitsUntil, now)}, ${duration(left)} more. This page reminds you.`
            : "The wait is over."}
        </span>
        <button type="button" onClick={() => job.keep({ waitsUntil: undefined })}>
          Doesn't wait
        </button>
      </div>
      {left > 0 && <Meanwhile jobs={jobs} now={now} />}
    </section>
  )
}

const MOST = 4

/** The other jobs that can go on now, the last touched first. */
function Meanwhile({ jobs, now }: { jobs: Jobs; now: number }) {
  const free = jobs.open.value.filter(
    ({ key, state, waitsUntil = 0 }) =>
      key !== jobs.currentKey.value && state === "open" && waitsUntil <= now,
  )
  if (free.length === 0) return <p>No other open job can go on meanwhile.</p>
  return (
    <>
      <p>Meanwhile:</p>
      <ul class="plain-list">
        {free.slice(0, MOST).map((kept) => (
          <li key={kept.key} class="row">
            <span class="grow">{lineOf(kept)}</span>
            <button
              type="button"
              aria-label={`Go on with ${kept.id}`}
              onClick={() => void jobs.resume(kept.key)}
            >
              Go on
            </button>
          </li>
        ))}
      </ul>
    </>
  )
}

const lineOf = ({ id, ruleset, next }: KeptJob) =>
  [`${id}, ${ruleset.title}`, next].filter(Boolean).join(": ")

/** With the day where that is another one. */
function timeOf(at: number, now: number): string {
  const isToday = new Date(at).toDateString() === new Date(now).toDateString()
  const day = isToday ? {} : ({ weekday: "short", day: "numeric", month: "short" } as const)
  return new Date(at).toLocaleString(undefined, { hour: "2-digit", minute: "2-digit", ...day })
}

function useNow(runs: boolean): number {
  const [now, setNow] = useState(Date.now())
  useEffect(() => {
    setNow(Date.now())
    if (!runs) return
    const timer = setInterval(() => setNow(Date.now()), TICK)
    return () => clearInterval(timer)
  }, [runs])
  return now
}
