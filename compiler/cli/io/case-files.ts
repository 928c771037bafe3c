/** Files of recorded cases as streams: as much in memory as a batch takes, however long the file is. */
import { createReadStream, statSync } from "node:fs"
import { createGunzip } from "node:zlib"
import type { Batch } from "../../cases/table/batch.ts"
import { CsvError, CsvRows } from "../../cases/table/csv-rows.ts"
import { grouped } from "../../wording/figures.ts"
import { displayName, isCompressed, readError, refusePipe } from "./files.ts"
import { noteInput } from "./known-files.ts"
import { UserError } from "./user-error.ts"

const KiB = 1024

/** A longer line isn't a recorded case. */
const LONGEST_LINE = 16 * KiB * KiB

/** Rows that go into one batch. */
const ROWS_AT_ONCE = 2000

/** More columns are no table of cases. */
const MOST_COLUMNS = 10_000

export interface CaseFile {
  readonly file: string
  /** The header row of a table; absent for lines of JSON. */
  readonly header?: readonly string[]
  /** Between the cells of a table. */
  readonly delimiter?: string
  readonly batches: AsyncIterable<Batch>
  /** How much of the file has been read, of 1; undefined where its length is not known. */
  progress(): number | undefined
}

/** Lines of JSON, or a table if the name ends in `.csv` or `.tsv` or `table` is set. @throws UserError */
export async function openCaseFile(
  file: string,
  table = /\.(csv|tsv)(\.gz)?$/i.test(file),
): Promise<CaseFile> {
  const size = sizeOf(file)
  let read = 0
  const progress = () => (size ? Math.min(1, read / size) : undefined)
  const text = decoded(file, (bytes) => {
    read += bytes
  })
  if (!table) return { file, batches: lines(text, file), progress }
  const parser = new CsvRows()
  const rows = rowsOf(text, file, parser)
  const first = await rows.next()
  const [header = [], ...others] = first.done ? [] : first.value
  if (header.every((cell) => cell.trim() === ""))
    throw new UserError(`${displayName(file)} has no header row.`, "Name each column in the first row.")
  if (header.length > MOST_COLUMNS)
    throw new UserError(
      `${displayName(file)} has ${grouped(header.length)} columns; a table may have ${grouped(MOST_COLUMNS)}.`,
      "Is it a table with one row per case?",
    )
  const delimiter = parser.delimiter ?? ","
  return { file, header, delimiter, batches: inRows(others, rows), progress }
}

function sizeOf(file: string): number | undefined {
  refusePipe(file)
  try {
    noteInput(file === "-" ? 0 : file)
  } catch (error) {
    throw readError(file, error)
  }
  if (file === "-") return undefined
  const stat = statSync(file, { throwIfNoEntry: false })
  if (stat?.isDirectory()) throw new UserError(`${displayName(file)} is a folder.`, "Name a file in it.")
  return stat?.isFile() ? stat.size : undefined
}

/** `reading` is told what is read of the file itself, which may be compressed. */
function bytesOf(file: string, reading: (bytes: number) => void): AsyncIterable<Uint8Array> {
  const stream = file === "-" ? process.stdin : createReadStream(file, { highWaterMark: 512 * KiB })
  stream.on("data", (chunk: Uint8Array) => reading(chunk.length))
  stream.pause()
  if (!isCompressed(file)) return stream
  const plain = createGunzip({ chunkSize: 512 * KiB })
  stream.on("error", (error: Error) => plain.destroy(error))
  return stream.pipe(plain)
}

/** The text of a file, chunk by chunk. */
async function* decoded(file: string, reading: (bytes: number) => void): AsyncGenerator<string> {
  const stream = bytesOf(file, reading)
  const decoder = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true })
  let line = 1
  try {
    for await (const chunk of stream as AsyncIterable<Uint8Array>) {
      const text = decoder.decode(chunk, { stream: true })
      for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) line++
      yield text
    }
    const rest = decoder.decode()
    if (rest !== "") yield rest
  } catch (error) {
    if ((error as { code?: string }).code !== "ERR_ENCODING_INVALID_ENCODED_DATA")
      throw readError(file, error)
    throw new UserError(
      `${displayName(file)} isn't UTF-8: a byte after line ${line} isn't part of a character.`,
      "Save it as UTF-8, or convert it.",
    )
  }
}

/** Cuts after the last line break of each chunk. */
async function* lines(text: AsyncIterable<string>, file: string): AsyncGenerator<Batch> {
  let held = ""
  let from = 1
  let offset = 0
  for await (const chunk of text) {
    const end = chunk.lastIndexOf("\n") + 1
    if (end === 0) {
      held += chunk
      if (held.length > LONGEST_LINE)
        throw new UserError(
          `Line ${from} of ${displayName(file)} is too long for a recorded case.`,
          "Each case is one line of JSON. The name of a table ends in `.csv` or `.tsv`.",
        )
      continue
    }
    const batch: Batch = { kind: "lines", text: held + chunk.slice(0, end), from, offset }
    held = chunk.slice(end)
    yield batch
    for (let at = batch.text.indexOf("\n"); at >= 0; at = batch.text.indexOf("\n", at + 1)) from++
    offset += batch.text.length
  }
  if (held !== "") yield { kind: "lines", text: held, from, offset }
}

/** The rows of each piece; the first piece that has any has the header. */
async function* rowsOf(
  text: AsyncIterable<string>,
  file: string,
  parser: CsvRows,
): AsyncGenerator<string[][]> {
  try {
    for await (const piece of text) {
      const rows = parser.push(piece)
      if (rows.length > 0) yield rows
    }
    const last = parser.end()
    if (last.length > 0) yield last
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    throw new UserError(
      `Row ${error.row} of ${displayName(file)} ${error.message}.`,
      "A quote inside a quoted cell is written twice.",
    )
  }
}

async function* inRows(first: string[][], rows: AsyncIterable<string[][]>): AsyncGenerator<Batch> {
  let from = 2
  for await (const all of withFirst(first, rows))
    for (let at = 0; at < all.length; at += ROWS_AT_ONCE) {
      const some = all.slice(at, at + ROWS_AT_ONCE)
      yield { kind: "rows", rows: some, from }
      from += some.length
    }
}

async function* withFirst(first: string[][], rows: AsyncIterable<string[][]>): AsyncGenerator<string[][]> {
  yield first
  yield* rows
}
