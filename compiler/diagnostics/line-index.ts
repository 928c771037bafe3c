/** Lines and columns of a text. A line ends with LF, CR LF or CR. */
export class Lines {
  readonly text: string
  readonly #starts: number[]

  constructor(text: string) {
    this.text = text
    this.#starts = [0]
    for (let i = 0; i < text.length; i++) {
      const c = text.charCodeAt(i)
      if (c === 0x0a || (c === 0x0d && text.charCodeAt(i + 1) !== 0x0a)) this.#starts.push(i + 1)
    }
  }

  get count(): number {
    return this.#starts.length
  }

  /** Line and column of an offset, both from 1; the column counts UTF-16 code units, as editors do. */
  at(offset: number): { line: number; column: number } {
    let low = 0
    let high = this.#starts.length - 1
    while (low < high) {
      const middle = (low + high + 1) >> 1
      if (this.#startOf(middle) <= offset) low = middle
      else high = middle - 1
    }
    return { line: low + 1, column: offset - this.#startOf(low) + 1 }
  }

  /** Where a line (from 0) begins; of one after the last, where the text ends. */
  #startOf(line: number): number {
    return this.#starts[line] ?? this.text.length
  }

  /** Where a line (from 1) begins, and where its text ends, its line break left out. */
  bounds(line: number): { start: number; end: number } {
    const start = this.#startOf(line - 1)
    let end = this.#startOf(line)
    if (end > start && this.text[end - 1] === "\n") end--
    if (end > start && this.text[end - 1] === "\r") end--
    return { start, end }
  }
}

/** Line and column of one offset, both from 1 (see `Lines` for many). */
export function lineAndColumn(text: string, offset: number): { line: number; column: number } {
  let line = 1
  let start = 0
  const end = Math.min(offset, text.length)
  for (let i = 0; i < end; i++) {
    const c = text.charCodeAt(i)
    if (c === 0x0a || (c === 0x0d && text.charCodeAt(i + 1) !== 0x0a)) {
      line++
      start = i + 1
    }
  }
  return { line, column: end - start + 1 }
}
