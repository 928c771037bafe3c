import { useSignal } from "@preact/signals"
import type { GraphReading } from "../../compiler/run/graph.ts"
import type { ActionStep } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import type { Words } from "../../compiler/wording/words.ts"
import { AnswerProblem } from "./answer-problem.tsx"
import { clockMinutes, StepClock } from "./clock.tsx"
import { type Give, LookAnswer } from "./look-answer.tsx"
import type { OpenJob } from "./open-job.ts"
import { ReadingSheet, valueText } from "./reading-sheet.tsx"

interface Props {
  readonly job: OpenJob
  readonly step: ActionStep
  readonly onAnswer: Give
}

/** The ways to answer a step: big buttons where one press says it all, a form for numbers or several readings. */
export function AnswerForm({ job, step, onAnswer }: Props) {
  const { words } = job
  const typed = useSignal("")
  /** They would bias the eye: shown only to who asks. */
  const chances = useSignal(false)
  const give: Give = (found, beside) => onAnswer(found, { ...beside, ...timeOf(typed.value, job) })
  const only = step.reads.length === 1 ? step.reads[0] : undefined
  const hasChances = step.reads.length === 0 ? step.tries > 0 : only?.unit === undefined && only !== undefined
  const isShort = step.reads.length === 0 || (only?.unit === undefined && (only?.cells.length ?? 9) <= 3)
  return (
    <div class={isShort ? "answers short" : "answers"}>
      {step.reads.length > 0 ? (
        only && only.unit === undefined ? (
          <Choice words={words} reading={only} step={step} onAnswer={give} chances={chances.value} />
        ) : (
          <ReadingSheet
            words={words}
            readings={step.reads}
            onAnswer={give}
            onProblem={(text) => {
              job.problem.value = { text, from: "step" }
            }}
          />
        )
      ) : step.tries > 0 ? (
        <LookAnswer job={job} step={step} onAnswer={give} chances={chances.value} />
      ) : (
        <button type="button" class="main big" onClick={() => give("done", {})}>
          {words.say(m.doneButton)}
        </button>
      )}
      <AnswerProblem job={job} from="step" />
      <div class="row minutes">
        {hasChances && !chances.value && (
          <button
            type="button"
            class="plain small"
            title={words.say(m.showChancesWhy)}
            onClick={() => {
              chances.value = true
            }}
          >
            {words.say(m.showChances)}
          </button>
        )}
        <StepClock job={job} />
        <label class="small quiet row">
          {words.say(m.minutesTook, { time: words.minutes(step.minutes) })}
          <input
            type="text"
            inputMode="decimal"
            size={4}
            placeholder={clockMinutes(job)?.toString() ?? ""}
            value={typed}
            onInput={(event) => {
              typed.value = event.currentTarget.value
            }}
          />
        </label>
      </div>
    </div>
  )
}

/** As somebody typed it, else as the clock has it. */
function timeOf(typed: string, job: OpenJob): { minutes?: number } {
  const spent = typed.trim() === "" ? clockMinutes(job) : Number(typed.replace(",", "."))
  return spent !== undefined && spent >= 0 && spent < 1e5 ? { minutes: spent } : {}
}

interface ChoiceProps {
  readonly words: Words
  readonly reading: GraphReading
  readonly step: ActionStep
  readonly onAnswer: Give
  readonly chances: boolean
}

/** One button for each value of the reading. */
function Choice({ words, reading, step, onAnswer, chances }: ChoiceProps) {
  return (
    <fieldset class="choices">
      <legend>{reading.question}</legend>
      {reading.cells.map((cell, i) => {
        const outcome = step.outcomes.find(({ found }) => Array.isArray(found) && found[0] === i)
        return (
          <button key={cell.label} type="button" class="big" onClick={() => onAnswer([i], {})}>
            <b>{valueText(cell, words)}</b>
            {chances && (
              <span class="small quiet">
                {outcome
                  ? words.say(m.expectedChance, { chance: words.percent(outcome.chance) })
                  : words.say(m.notExpected)}
              </span>
            )}
          </button>
        )
      })}
    </fieldset>
  )
}
