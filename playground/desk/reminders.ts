import { effect, untracked } from "@preact/signals"
import * as m from "../../compiler/wording/compiled/desk.ts"
import type { Jobs } from "../bench/jobs.ts"
import type { KeptJob } from "../bench/kept-job.ts"

/** A timer that is set for longer would go off at once. */
const LONGEST = 2 ** 31 - 1

/**
 * Says of each job that its wait is over, once for each wait, as long as the page is open. `show` brings the bench up where
 * the page shows something else.
 */
export function remindOfWaits(jobs: Jobs, show: () => void = () => {}): void {
  const over = ({ id, key, next }: KeptJob) => {
    const words = jobs.words.peek()
    const run = () => {
      void jobs.resume(key)
      show()
    }
    jobs.say(words.say(m.waitOverOf, { id, next }), { label: words.say(m.goOnWithIt), run })
  }
  const told = new Set<string>()
  /** Until the next wait is over. */
  let timer: ReturnType<typeof setTimeout> | undefined
  const look = () => {
    clearTimeout(timer)
    const now = Date.now()
    let next = Number.POSITIVE_INFINITY
    for (const job of jobs.open.peek()) {
      const { key, waitsUntil } = job
      if (waitsUntil === undefined || told.has(`${key} ${waitsUntil}`)) continue
      if (waitsUntil > now) next = Math.min(next, waitsUntil - now)
      else {
        told.add(`${key} ${waitsUntil}`)
        over(job)
      }
    }
    if (next < Number.POSITIVE_INFINITY) timer = setTimeout(look, Math.min(next, LONGEST))
  }
  effect(() => {
    jobs.open.value
    untracked(look)
  })
}
