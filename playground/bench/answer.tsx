import { useSignal } from "@preact/signals"
import { useId } from "preact/hooks"
import type { GraphReading } from "../../compiler/run/graph.ts"
import type { Answer, TestStep, Value } from "../../compiler/run/index.ts"
import { capitalized } from "../../compiler/wording/sentence.ts"
import { percent } from "../figures.ts"
import { Complaint } from "./answer-problem.tsx"
import type { Desk } from "./job-session.ts"
import { unitsFor } from "./units.ts"

interface Props {
  readonly desk: Desk
  readonly step: TestStep
  readonly onAnswer: (found: Answer, minutes?: number) => boolean
}

/** The ways to answer a step: big buttons where one press says it all, a form where numbers or several readings are wanted. */
export function AnswerForm({ desk, step, onAnswer }: Props) {
  const minutes = useSignal("")
  const answer = (found: Answer) => {
    const spent = Number(minutes.value.replace(",", "."))
    return onAnswer(found, minutes.value !== "" && spent >= 0 && spent < 1e5 ? spent : undefined)
  }
  const only = step.reads.length === 1 ? step.reads[0]! : undefined
  return (
    <div class="answers">
      {step.reads.length === 0 && <Look desk={desk} step={step} onAnswer={answer} />}
      {only && only.unit === undefined && <Choice reading={only} step={step} onAnswer={answer} />}
      {(step.reads.length > 1 || only?.unit !== undefined) && (
        <Sheet readings={step.reads} onAnswer={answer} />
      )}
      <Complaint desk={desk} at="step" />
      <label class="small quiet minutes">
        Minutes it took, if not {step.minutes}
        <input
          type="text"
          inputMode="decimal"
          size={4}
          value={minutes}
          onInput={(event) => {
            minutes.value = event.currentTarget.value
          }}
        />
      </label>
    </div>
  )
}

/** After a change the complaint is looked for. */
function Look({ desk, step, onAnswer }: { desk: Desk; step: TestStep; onAnswer: (found: Answer) => void }) {
  const tries = desk.graph.model.tests[step.test]!.tries ?? 1
  const chance = (found: string) => step.outcomes.find((each) => each.found === found)?.chance ?? 0
  return (
    <fieldset class="choices">
      <legend>
        Then look for the complaint{tries > 1 ? `, ${tries} times` : ""}: “{desk.graph.complaint.text}”
      </legend>
      <button type="button" class="big" onClick={() => onAnswer("gone")}>
        <b>Gone</b>
        <span class="small">{tries > 1 ? `not seen in ${tries} tries` : "not seen any more"}</span>
        <span class="small quiet">expected {percent(chance("gone"))}</span>
      </button>
      <button type="button" class="big" onClick={() => onAnswer("stays")}>
        <b>Stays</b>
        <span class="small">seen again</span>
        <span class="small quiet">expected {percent(chance("stays"))}</span>
      </button>
    </fieldset>
  )
}

function Choice({
  reading,
  step,
  onAnswer,
}: {
  reading: GraphReading
  step: TestStep
  onAnswer: (found: Answer) => void
}) {
  return (
    <fieldset class="choices">
      <legend>{reading.question}</legend>
      {reading.cells.map((cell, i) => {
        const outcome = step.outcomes.find((each) => Array.isArray(each.found) && each.found[0] === i)
        return (
          <button key={cell.label} type="button" class="big" onClick={() => onAnswer([i])}>
            <b>{wordOf(cell.label)}</b>
            <span class="small quiet">
              {outcome ? `expected ${percent(outcome.chance)}` : "fits no listed fault"}
            </span>
          </button>
        )
      })}
    </fieldset>
  )
}

/** One field for each reading; all are noted together. */
export function Sheet({
  readings,
  onAnswer,
}: {
  readings: readonly GraphReading[]
  onAnswer: (found: Answer) => boolean
}) {
  const values = useSignal<Readonly<Record<string, string>>>({})
  const units = useSignal<Readonly<Record<string, string>>>({})
  const send = (event: Event) => {
    event.preventDefault()
    const found: Record<string, Value> = {}
    for (const { name, unit } of readings) {
      const typed = values.value[name]?.trim()
      if (!typed) continue
      const number = typed.replace("−", "-").replace(",", ".")
      const isPlain = unit !== undefined && /^[-+]?[\d.]+$/.test(number)
      found[name] = isPlain ? `${number} ${units.value[name] ?? unit}` : typed
    }
    onAnswer(found)
  }
  return (
    <form class="sheet" onSubmit={send} noValidate>
      {readings.map((reading) => (
        <Field
          key={reading.name}
          reading={reading}
          value={values.value[reading.name] ?? ""}
          unit={units.value[reading.name] ?? reading.unit ?? ""}
          onValue={(value) => {
            values.value = { ...values.value, [reading.name]: value }
          }}
          onUnit={(unit) => {
            units.value = { ...units.value, [reading.name]: unit }
          }}
        />
      ))}
      <button type="submit" class="main big">
        Note {readings.length > 1 ? "these findings" : "this finding"}
      </button>
    </form>
  )
}

interface FieldProps {
  readonly reading: GraphReading
  readonly value: string
  readonly unit: string
  readonly onValue: (value: string) => void
  readonly onUnit: (unit: string) => void
}

function Field({ reading, value, unit, onValue, onUnit }: FieldProps) {
  const id = useId()
  if (reading.unit === undefined) {
    return (
      <fieldset class="field-choices">
        <legend>{reading.question}</legend>
        {reading.cells.map((cell) => {
          const word = cell.values?.[0] ?? cell.label
          return (
            <label key={word} class="pick">
              <input type="radio" name={id} checked={value === word} onChange={() => onValue(word)} />
              {wordOf(cell.label)}
            </label>
          )
        })}
      </fieldset>
    )
  }
  const units = unitsFor(reading)
  return (
    <div class="field">
      <label for={id}>{reading.question}</label>
      <span class="number-entry">
        <input
          id={id}
          type="text"
          inputMode="decimal"
          autoComplete="off"
          value={value}
          aria-describedby={`${id}-range`}
          onInput={(event) => onValue(event.currentTarget.value)}
        />
        {units.length > 1 ? (
          <select
            aria-label={`Unit of ${reading.name}`}
            value={unit}
            onChange={(event) => onUnit(event.currentTarget.value)}
          >
            {units.map((each) => (
              <option key={each}>{each}</option>
            ))}
          </select>
        ) : (
          <span>{reading.unit}</span>
        )}
      </span>
      <span id={`${id}-range`} class="small quiet">
        {reading.from} to {reading.to} {reading.unit}, in steps of {reading.by}
      </span>
    </div>
  )
}

/** `yes` as a button says `Yes`; the words of `one_of_lists` are written apart. */
function wordOf(label: string): string {
  return capitalized(label.replaceAll("_", " "))
}
