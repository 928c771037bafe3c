import { useSignal } from "@preact/signals"
import { useId } from "preact/hooks"
import type { GraphCell, GraphReading } from "../../compiler/run/graph.ts"
import type { Answer, Beside, Value } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import { cellLabel } from "../../compiler/wording/ranges.ts"
import { capitalized } from "../../compiler/wording/sentence.ts"
import { typedNumber } from "../../compiler/wording/typed-number.ts"
import type { Words } from "../../compiler/wording/words.ts"
import { unitsFor } from "./units.ts"
import { WorkedField, workedOut } from "./worked-field.tsx"

interface Props {
  readonly words: Words
  readonly readings: readonly GraphReading[]
  readonly onAnswer: (found: Answer, beside: Beside) => boolean
  /** What was typed can mean two numbers. */
  readonly onProblem: (message: string) => void
}

/** One field for each reading; all are noted together. */
export function ReadingSheet({ words, readings, onAnswer, onProblem }: Props) {
  const values = useSignal<Readonly<Record<string, string>>>({})
  const units = useSignal<Readonly<Record<string, string>>>({})
  const send = (event: Event) => {
    event.preventDefault()
    const found: Record<string, Value> = {}
    const taken: Record<string, Record<string, string>> = {}
    for (const reading of readings) {
      const { name, unit } = reading
      if (reading.takes !== undefined) {
        const worked = workedOut(reading, reading.takes, values.value, words)
        if (worked === undefined) continue
        if ("problem" in worked) return onProblem(worked.problem)
        found[name] = worked.value
        taken[name] = worked.numbers
        continue
      }
      const typed = values.value[name]?.trim()
      if (!typed) continue
      const value =
        unit === undefined ? { said: typed } : typedNumber(typed, units.value[name] ?? unit, words)
      if ("problem" in value) return onProblem(value.problem)
      found[name] = value.said
    }
    onAnswer(found, Object.keys(taken).length === 0 ? {} : { taken })
  }
  return (
    <form class="sheet" onSubmit={send} noValidate>
      {readings.map((reading) =>
        reading.takes !== undefined ? (
          <WorkedField
            key={reading.name}
            words={words}
            reading={reading}
            takes={reading.takes}
            values={values.value}
            onValue={(name, value) => {
              values.value = { ...values.value, [name]: value }
            }}
          />
        ) : (
          <Field
            key={reading.name}
            words={words}
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
        ),
      )}
      <button type="submit" class="main big">
        {words.say(m.noteFindings, { n: readings.length })}
      </button>
    </form>
  )
}

interface FieldProps {
  readonly words: Words
  readonly reading: GraphReading
  readonly value: string
  readonly unit: string
  readonly onValue: (value: string) => void
  readonly onUnit: (unit: string) => void
}

function Field(props: FieldProps) {
  return props.reading.unit === undefined ? <ChoiceField {...props} /> : <NumberField {...props} />
}

function ChoiceField({ words, reading, value, onValue }: FieldProps) {
  const id = useId()
  return (
    <fieldset class="field-choices">
      <legend>{reading.question}</legend>
      {reading.cells.map((cell) => {
        const word = cell.values?.[0] ?? cell.label
        return (
          <label key={word} class="pick">
            <input type="radio" name={id} checked={value === word} onChange={() => onValue(word)} />
            {valueText(cell, words)}
          </label>
        )
      })}
    </fieldset>
  )
}

function NumberField({ words, reading, value, unit, onValue, onUnit }: FieldProps) {
  const id = useId()
  const units = unitsFor(reading)
  const figure = (value: number | undefined) => words.withUnit(value ?? "", undefined)
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
            aria-label={words.say(m.unitOf, { reading: reading.question })}
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
        {words.say(m.meterRange, {
          low: figure(reading.from),
          high: words.withUnit(reading.to ?? "", reading.unit),
          by: figure(reading.by),
        })}
      </span>
    </div>
  )
}

/** `yes` on a button is `Yes`; the words of `one_of_lists` are written apart. */
export function valueText(cell: GraphCell, words: Words): string {
  return capitalized(cellLabel(cell, words).replaceAll("_", " "))
}
