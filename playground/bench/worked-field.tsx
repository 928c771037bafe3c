import { useId } from "preact/hooks"
import type { GraphInput, GraphReading } from "../../compiler/run/graph.ts"
import { RunError } from "../../compiler/run/index.ts"
import { workOut } from "../../compiler/run/work-out.ts"
import { problemText } from "../../compiler/ship/runner-text.ts"
import { typedNumber } from "../../compiler/wording/typed-number.ts"
import type { Words } from "../../compiler/wording/words.ts"

/** What was typed, by reading or by `reading.number`. */
type Typed = Readonly<Record<string, string>>

interface Worked {
  readonly value: string
  readonly numbers: Record<string, string>
}

const keyOf = (reading: GraphReading, input: GraphInput) => `${reading.name}.${input.name}`

/** What a reading comes to; undefined where none of its numbers has been typed. */
export function workedOut(
  reading: GraphReading,
  takes: readonly GraphInput[],
  typed: Typed,
  words: Words,
): Worked | { readonly problem: string } | undefined {
  const numbers: Record<string, string> = {}
  for (const input of takes) {
    const text = typed[keyOf(reading, input)]?.trim() ?? ""
    if (text === "") continue
    const number = typedNumber(text, input.unit, words)
    if ("problem" in number) return number
    numbers[input.name] = number.said
  }
  if (Object.keys(numbers).length === 0) return undefined
  try {
    return { value: workOut(reading, numbers), numbers }
  } catch (error) {
    if (error instanceof RunError) return { problem: problemText(error, words) }
    throw error
  }
}

interface Props {
  readonly words: Words
  readonly reading: GraphReading
  readonly takes: readonly GraphInput[]
  readonly values: Typed
  readonly onValue: (name: string, value: string) => void
}

/** A field for each number that a reading takes, and what they come to. */
export function WorkedField({ words, reading, takes, values, onValue }: Props) {
  const id = useId()
  const isFull = takes.every((input) => values[keyOf(reading, input)]?.trim())
  const worked = isFull ? workedOut(reading, takes, values, words) : undefined
  return (
    <fieldset class="field-choices">
      <legend>{reading.question}</legend>
      {takes.map((input) => (
        <label key={input.name} class="field" for={`${id}-${input.name}`}>
          {input.question}
          <span class="number-entry">
            <input
              id={`${id}-${input.name}`}
              type="text"
              inputMode="decimal"
              autoComplete="off"
              value={values[keyOf(reading, input)] ?? ""}
              onInput={(event) => onValue(keyOf(reading, input), event.currentTarget.value)}
            />
            <span>{input.unit}</span>
          </span>
        </label>
      ))}
      <output class="small quiet">
        {worked !== undefined && "value" in worked ? `= ${worked.value}` : ""}
      </output>
    </fieldset>
  )
}
