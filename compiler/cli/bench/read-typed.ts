import { type GraphReading, RunError } from "../../run/index.ts"
import type { CellIndex } from "../../run/indexes.ts"
import { readValue } from "../../run/read.ts"
import { workOut } from "../../run/work-out.ts"
import { problemText } from "../../ship/runner-text.ts"
import { cellLabel } from "../../wording/ranges.ts"
import { type TypedNumber, typedNumber } from "../../wording/typed-number.ts"
import type { Words } from "../../wording/words.ts"

/** The one of these answers that the text is, or that begins with it. */
export function uniqueMatch(answers: readonly string[], text: string): string | undefined {
  if (answers.includes(text)) return text
  if (text === "") return undefined
  const typed = text.toLowerCase()
  const found = answers.filter((answer) => answer.toLowerCase().startsWith(typed))
  // `st` is `stays`, though `stays left in` begins with it too.
  const shortest = found.toSorted((a, b) => a.length - b.length)[0]
  return shortest !== undefined &&
    found.every((answer) => answer.toLowerCase().startsWith(shortest.toLowerCase()))
    ? shortest
    : undefined
}

/** What was typed for a reading, as the runner takes it: one of its values, or a number with its unit. */
export function valueTyped({ cells, unit }: GraphReading, text: string, words: Words): TypedNumber {
  if (unit !== undefined) return typedNumber(text, unit, words)
  const values = cells.flatMap((cell) => cell.values ?? [])
  // In another language a value is shown by its label; the runner knows it as the ruleset calls it.
  const labels = cells.map((cell) => cellLabel(cell, words))
  const shown = uniqueMatch(labels, text)
  const cell = shown === undefined ? undefined : cells[labels.indexOf(shown)]
  return { said: cell?.values?.[0] ?? uniqueMatch(values, text) ?? text }
}

/** The same, or what is wrong where the runner can't read it. */
export function readableTyped(reading: GraphReading, text: string, words: Words): TypedNumber {
  const typed = valueTyped(reading, text, words)
  return "said" in typed ? readable(reading, () => typed.said, words) : typed
}

/** What a reading comes to, or what is wrong with the numbers. */
export function workedOut(
  reading: GraphReading,
  taken: Readonly<Record<string, string>>,
  words: Words,
): TypedNumber {
  return readable(reading, () => workOut(reading, taken), words)
}

function readable(reading: GraphReading, value: () => string, words: Words): TypedNumber {
  try {
    const said = value()
    readValue(reading, said)
    return { said }
  } catch (error) {
    if (error instanceof RunError) return { problem: problemText(error, words) }
    throw error
  }
}

/** The cell of a value that can be read. */
export function cellOf(reading: GraphReading, value: string): CellIndex {
  return readValue(reading, value).cell
}
