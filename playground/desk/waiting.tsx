import { useEffect, useState } from "preact/hooks"
import { goOn, goOnWith } from "../../compiler/wording/compiled/bench.ts"
import * as m from "../../compiler/wording/compiled/desk.ts"
import type { Words } from "../../compiler/wording/words.ts"
import type { Jobs } from "../bench/jobs.ts"
import type { KeptJob } from "../bench/kept-job.ts"
import type { OpenJob } from "../bench/open-job.ts"

/** Milliseconds after which the time that is left is said anew. */
const TICK = 20_000

/** Where the step at hand waits: until when, and what can be done on another open job meanwhile. */
export function Waiting({ jobs, job }: { jobs: Jobs; job: OpenJob }) {
  const { words } = job
  const { next } = job.session.value
  const { waitsUntil } = job.saved.value
  const waits = "act" in next ? next.waits : 0
  const now = useNow(waitsUntil !== undefined)
  if (waits === 0) return null
  if (waitsUntil === undefined)
    return (
      <div class="card row">
        <span class="grow">{words.say(m.stepWaits, { time: words.duration(waits) })}</span>
        <button type="button" onClick={() => job.keep({ waitsUntil: Date.now() + waits * 60_000 })}>
          {words.say(m.waitsFromNow)}
        </button>
      </div>
    )
  const left = Math.ceil((waitsUntil - now) / 60_000)
  return (
    <section class="card" aria-label={words.say(m.waiting)}>
      <div class="row">
        <span class="grow" role="status">
          {left > 0
            ? words.say(m.waitsUntil, { clock: timeOf(waitsUntil, now, words), time: words.duration(left) })
            : words.say(m.waitOver)}
        </span>
        <button type="button" onClick={() => job.keep({ waitsUntil: undefined })}>
          {words.say(m.doesNotWait)}
        </button>
      </div>
      {left > 0 && <Meanwhile words={words} jobs={jobs} now={now} />}
    </section>
  )
}

const MOST = 4

/** The other jobs that can go on now, the last touched first. */
function Meanwhile({ words, jobs, now }: { words: Words; jobs: Jobs; now: number }) {
  const free = jobs.open.value.filter(
    ({ key, state, waitsUntil = 0 }) =>
      key !== jobs.currentKey.value && state === "open" && waitsUntil <= now,
  )
  if (free.length === 0) return <p>{words.say(m.noOtherJob)}</p>
  return (
    <>
      <p>{words.say(m.meanwhile)}</p>
      <ul class="plain-list">
        {free.slice(0, MOST).map((kept) => (
          <li key={kept.key} class="row">
            <span class="grow">{lineOf(kept, words)}</span>
            <button
              type="button"
              aria-label={words.say(goOnWith, kept)}
              onClick={() => void jobs.resume(kept.key)}
            >
              {words.say(goOn)}
            </button>
          </li>
        ))}
      </ul>
    </>
  )
}

function lineOf({ id, ruleset: { title }, next }: KeptJob, words: Words): string {
  return next === "" ? words.say(m.jobOf, { id, title }) : words.say(m.jobOfNext, { id, title, next })
}

/** With the day where that is another one. */
function timeOf(at: number, now: number, { language }: Words): string {
  const isToday = new Date(at).toDateString() === new Date(now).toDateString()
  const day = isToday ? {} : ({ weekday: "short", day: "numeric", month: "short" } as const)
  return new Date(at).toLocaleString(language, { hour: "2-digit", minute: "2-digit", ...day })
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
