/** Files of recorded cases as streams: as much in memory as a batch takes, however long the file is. */
import { createReadStream, statSync } from "node:fs"
import { type Duplex, Readable } from "node:stream"
import Papa from "papaparse"
import type { Batch } from "../../cases/table/batch.ts"
import { displayName, readError } from "./files.ts"
import { noteInput } from "./known-files.ts"
import { UserError } from "./user-error.ts"

const KiB = 1024

/** A longer line isn't a recorded case. */
const longestLine = 16 * KiB * KiB

/** Rows that go into one batch. */
const rowsAtOnce = 2000

export interface CaseFile {
  readonly file: string
  /** The header row of a table; absent for lines of JSON. */
  readonly header?: readonly string[]
  readonly batches: AsyncIterable<Batch>
  /** How much of the file has been read, of 1; undefined where its length is not known. */
  progress(): number | undefined
}

/** Lines of JSON, or a table if the name ends in `.csv` or `.tsv` or `table` is set. @throws UserError */
export async function openCaseFile(file: string, table = /\.(csv|tsv)$/i.test(file)): Promise<CaseFile> {
  const size = sizeOf(file)
  let read = 0
  const progress = () => (size ? Math.min(1, read / size) : undefined)
  const text = decoded(file, (bytes) => {
    read += bytes
  })
  if (!table) return { file, batches: lines(text, file), progress }
  const rows = rowsOf(text)[Symbol.asyncIterator]()
  const { value: header, done } = await rows.next()
  if (done || header.every((cell) => cell.trim() === ""))
    throw new UserError(`${displayName(file)} has no header row.`, "Name each column in the first row.")
  return { file, header, batches: inRows(rows), progress }
}

function sizeOf(file: string): number | undefined {
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

/** The text of a file, chunk by chunk. */
async function* decoded(file: string, reading: (bytes: number) => void): AsyncGenerator<string> {
  const stream = file === "-" ? process.stdin : createReadStream(file, { highWaterMark: 512 * KiB })
  const decoder = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true })
  let line = 1
  try {
    for await (const chunk of stream as AsyncIterable<Uint8Array>) {
      reading(chunk.length)
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
      if (held.length > longestLine)
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

/** RFC 4180 and its relatives: the delimiter is guessed from the text. */
function rowsOf(text: AsyncIterable<string>): AsyncIterable<string[]> {
  const parser = Papa.parse(Papa.NODE_STREAM_INPUT, { delimitersToGuess: [",", ";", "\t", "|"] }) as Duplex
  const input = Readable.from(text)
  input.on("error", (error) => parser.destroy(error))
  return input.pipe(parser)
}

async function* inRows(rows: AsyncIterator<string[]>): AsyncGenerator<Batch> {
  let held: string[][] = []
  let from = 2
  for (;;) {
    const { value, done } = await rows.next()
    if (!done) held.push(value)
    if (held.length >= rowsAtOnce || (done && held.length > 0)) {
      yield { kind: "rows", rows: held, from }
      from += held.length
      held = []
    }
    if (done) return
  }
}
