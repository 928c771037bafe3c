/** A longer row isn't a case: as a rule a quote in it is never closed. */
const LONGEST_ROW = 1 << 20

const DELIMITERS = [",", ";", "\t", "|"]

/** Rows from which the delimiter is guessed. */
const GUESSED_FROM = 10

/** A table that can't be read on; the message goes on from `Row 12`. */
export class CsvError extends Error {
  constructor(
    readonly row: number,
    message: string,
  ) {
    super(message)
  }
}

/**
 * The rows of a table as its text comes in, piece by piece (RFC 4180 and its relatives: commas, semicolons, tabs or bars;
 * LF, CR LF or CR). Holds no more than a row and a piece, in time in step with the length of the text.
 */
export class CsvRows {
  #held = ""
  #delimiter: string | undefined
  #newline = "\n"
  #row = 0
  #begun = false

  /** Undefined before the first rows. */
  get delimiter(): string | undefined {
    return this.#delimiter
  }

  /** The rows that are whole with this piece. @throws CsvError */
  push(piece: string): string[][] {
    return this.#read(piece, false)
  }

  /** The last row, if the text doesn't end with a line break. @throws CsvError */
  end(): string[][] {
    return this.#read("", true)
  }

  #read(piece: string, isLast: boolean): string[][] {
    let text = this.#held + piece
    if (!this.#begun && text !== "") {
      this.#begun = true
      text = text.replace(/^\ufeff/, "")
    }
    if (this.#delimiter === undefined) {
      // A break at the end of a piece may be the first half of CR LF.
      if (!isLast && !/[\n\r][^\n]/.test(text)) return this.#hold(text)
      this.#newline = text.includes("\n") || !text.includes("\r") ? "\n" : "\r"
      this.#delimiter = guessed(text, this.#newline)
    }
    const rows: string[][] = []
    let at = 0
    for (;;) {
      const row = rowAt(text, at, this.#delimiter, this.#newline, isLast)
      if (row === undefined) break
      rows.push(row.cells)
      this.#row++
      if (row.end - at > LONGEST_ROW) this.#tooLong(row.cells.join("").includes("\n"))
      at = row.end
    }
    this.#hold(text.slice(at))
    if (isLast && this.#held !== "") this.#tooLong(true)
    return rows
  }

  #hold(text: string): [] {
    this.#held = text
    if (text.length > LONGEST_ROW) this.#tooLong(text.includes('"'))
    return []
  }

  #tooLong(isQuoted: boolean): never {
    throw new CsvError(
      this.#row + 1,
      isQuoted ? "begins a quoted cell that is never closed" : "is too long for a recorded case",
    )
  }
}

interface Row {
  readonly cells: string[]
  /** Where the next one begins. */
  readonly end: number
}

/** The row that begins here; undefined where its end isn't there yet. */
function rowAt(
  text: string,
  start: number,
  delimiter: string,
  newline: string,
  isLast: boolean,
): Row | undefined {
  const found = text.indexOf(newline, start)
  if (found < 0 && (!isLast || start >= text.length)) return undefined
  const end = found < 0 ? text.length : found
  const line = text.slice(start, end)
  if (!line.includes('"')) return { cells: withoutReturn(line).split(delimiter), end: end + 1 }
  return quotedRowAt(text, start, delimiter, newline, isLast)
}

function withoutReturn(line: string): string {
  return line.endsWith("\r") ? line.slice(0, -1) : line
}

/** Where quotes are, cell by cell. */
function quotedRowAt(
  text: string,
  start: number,
  delimiter: string,
  newline: string,
  isLast: boolean,
): Row | undefined {
  const cells: string[] = []
  for (let at = start; ; ) {
    let cell = ""
    if (text[at] === '"') {
      const close = closingQuote(text, at)
      if (close < 0) return undefined
      cell = text.slice(at + 1, close).replaceAll('""', '"')
      at = close + 1
    }
    let end = at
    // Not by search: it would look through the rest of the text for each cell.
    while (end < text.length && text[end] !== delimiter && text[end] !== newline) end++
    if (end === text.length && !isLast) return undefined
    const rest = text.slice(at, end)
    const isMore = text[end] === delimiter
    cells.push(cell + (isMore ? rest : withoutReturn(rest)))
    if (!isMore) return { cells, end: end + 1 }
    at = end + 1
  }
}

/** Of the quote at `start`; two in a row are one of the cell. */
function closingQuote(text: string, start: number): number {
  let close = text.indexOf('"', start + 1)
  while (close >= 0 && text[close + 1] === '"') close = text.indexOf('"', close + 2)
  return close
}

/** The delimiter that gives the first rows the same number of cells, and the most. */
function guessed(text: string, newline: string): string {
  let best = { delimiter: ",", cells: 1 }
  for (const delimiter of DELIMITERS) {
    const counts: number[] = []
    for (let at = 0; counts.length < GUESSED_FROM; ) {
      const row = rowAt(text, at, delimiter, newline, true)
      if (row === undefined) break
      at = row.end
      const [only = "", ...others] = row.cells
      if (others.length > 0 || only.trim() !== "") counts.push(row.cells.length)
    }
    const [header = 1] = counts
    // A last row that is cut off in this piece, or rows with fewer cells than the header, are no reason against it.
    const cells = counts.every((count) => count <= header) ? header : 1
    if (cells > best.cells) best = { delimiter, cells }
  }
  return best.delimiter
}
