import { useSignal } from "@preact/signals"
import type { ActionStep, Answer, Beside } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import type { OpenJob } from "./open-job.ts"

export type Give = (found: Answer, beside: Beside) => boolean

interface Props {
  readonly job: OpenJob
  readonly step: ActionStep
  readonly onAnswer: Give
  readonly chances: boolean
}

/** After an action that changes the machine: is the complaint still there? */
export function LookAnswer({ job, step, onAnswer, chances }: Props) {
  const { words } = job
  const { tries } = step
  const isSwap = step.do === "test" && step.info?.kind === "swaps"
  const leftIn = useSignal(step.leaveIn)
  const expected = (found: "gone" | "stays") => {
    const outcome = step.outcomes.find((each) => each.found === found)
    return words.say(m.expectedChance, { chance: words.percent(outcome?.chance ?? 0) })
  }
  const complaint = job.graph.complaint.text
  return (
    <>
      <fieldset class="choices">
        <legend>
          {words.say(m.lookFor, { when: step.do === "look" ? "now" : "other", tries, complaint })}
        </legend>
        <button type="button" class="big" onClick={() => onAnswer("gone", {})}>
          <b>{words.say(m.gone)}</b>
          <span class="small">{words.say(m.notSeen, { tries })}</span>
          {chances && <span class="small quiet">{expected("gone")}</span>}
        </button>
        <button
          type="button"
          class="big"
          onClick={() => onAnswer("stays", isSwap ? { leftIn: leftIn.value } : {})}
        >
          <b>{words.say(m.stays)}</b>
          <span class="small">{words.say(m.seenAgain)}</span>
          {chances && <span class="small quiet">{expected("stays")}</span>}
        </button>
      </fieldset>
      {isSwap && (
        <label class="pick">
          <input
            type="checkbox"
            checked={leftIn.value}
            onChange={(event) => {
              leftIn.value = event.currentTarget.checked
            }}
          />
          {words.say(m.leaveIn, {
            plan: step.leaveIn === leftIn.value ? "same" : step.leaveIn ? "leaves" : "other",
          })}
        </label>
      )}
    </>
  )
}
