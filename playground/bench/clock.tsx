import TimerIcon from "lucide/dist/esm/icons/timer.mjs"
import { useEffect, useState } from "preact/hooks"
import * as m from "../../compiler/wording/compiled/bench.ts"
import { Icon } from "../ui/icon.tsx"
import { clockTime, type OpenJob } from "./open-job.ts"

/** Minutes on the clock, as they go on record; undefined where it never ran. */
export function clockMinutes(job: OpenJob): number | undefined {
  const time = clockTime(job.saved.value.clock, Date.now())
  return time === 0 ? undefined : Math.max(1, Math.round(time / 60_000))
}

/** The time of the step at hand; it goes on with the next step until it is stopped. */
export function StepClock({ job }: { job: OpenJob }) {
  const { words } = job
  const { clock } = job.saved.value
  const runs = clock?.since !== undefined
  const [, tick] = useState(0)
  useEffect(() => {
    if (!runs) return
    const timer = setInterval(() => tick((n) => n + 1), 1000)
    return () => clearInterval(timer)
  }, [runs])
  const seconds = Math.floor(clockTime(clock, Date.now()) / 1000)
  const time = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`
  return (
    <button
      type="button"
      class="tool clock"
      aria-pressed={runs}
      aria-label={words.say(runs ? m.stopClock : m.startClock)}
      title={words.say(m.clockWhy)}
      onClick={() => job.runClock(!runs)}
    >
      <Icon of={TimerIcon} />
      {runs || seconds > 0 ? time : words.say(m.clock)}
    </button>
  )
}
