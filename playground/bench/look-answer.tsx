import { useSignal } from "@preact/signals"
import type { ActionStep, Answer, Beside } from "../../compiler/run/index.ts"
import { percent } from "../ui/figures.ts"
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
  const { tries } = step
  const isSwap = step.do === "test" && step.info?.kind === "swaps"
  const leftIn = useSignal(step.leaveIn)
  const chance = (found: "gone" | "stays") =>
    percent(step.outcomes.find((outcome) => outcome.found === found)?.chance ?? 0)
  return (
    <>
      <fieldset class="choices">
        <legend>
          {step.do === "look" ? "Look" : "Then look"} for the complaint{tries > 1 ? `, ${tries} times` : ""}:
          “{job.graph.complaint.text}”
        </legend>
        <button type="button" class="big" onClick={() => onAnswer("gone", {})}>
          <b>Gone</b>
          <span class="small">{tries > 1 ? `not seen in ${tries} tries` : "not seen"}</span>
          {chances && <span class="small quiet">expected {chance("gone")}</span>}
        </button>
        <button
          type="button"
          class="big"
          onClick={() => onAnswer("stays", isSwap ? { leftIn: leftIn.value } : {})}
        >
          <b>Stays</b>
          <span class="small">seen again</span>
          {chances && <span class="small quiet">expected {chance("stays")}</span>}
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
          If it stays, leave the shop's part in
          {step.leaveIn === leftIn.value
            ? " (as planned)"
            : ` (the plan ${step.leaveIn ? "leaves it in" : "takes it out"})`}
        </label>
      )}
    </>
  )
}
