import { Lines } from "../../diagnostics/line-index.ts"

/** One line of a text, without its line break: its number from 1, and its offset (UTF-16 code units). */
export interface TextLine {
  readonly line: string
  readonly n: number
  readonly offset: number
}

/** The lines of a text; a line ends with LF, CR LF or CR. Nothing follows the last line break. */
export function* linesOf(text: string): Generator<TextLine> {
  const lines = new Lines(text)
  for (let n = 1; n <= lines.count; n++) {
    const { start, end } = lines.bounds(n)
    if (start < text.length) yield { line: text.slice(start, end), n, offset: start }
  }
}
