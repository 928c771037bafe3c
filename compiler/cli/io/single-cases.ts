/** Of cases with one id only the first goes on: batches are read by several threads, of which none sees all ids. */
import { doubledId, Ids, idIn } from "../../cases/record/ids.ts"
import { linesOf } from "../../cases/record/lines.ts"
import { sameId } from "../../cases/record/read.ts"
import type { Batch, Source } from "../../cases/table/batch.ts"
import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { excerpt } from "../../diagnostics/escape.ts"
import type { CaseProblem } from "./case-problems.ts"

type LinesBatch = Extract<Batch, { kind: "lines" }>
type RowsBatch = Extract<Batch, { kind: "rows" }>

/** The batches without what has the id of an earlier case; lines and rows keep their numbers. */
export async function* singleCases(
  batches: AsyncIterable<Batch>,
  source: Source,
  say: (problem: CaseProblem) => void,
): AsyncGenerator<Batch> {
  const ids = new Ids()
  const column = source.mapping?.columns.findIndex(({ role }) => role.is === "id") ?? -1
  for await (const batch of batches)
    if (batch.kind === "lines") yield singleLines(batch, source, ids, say)
    else yield column < 0 ? batch : singleRows(batch, column, source, ids, say)
}

function singleLines(
  batch: LinesBatch,
  { file }: Source,
  ids: Ids,
  say: (problem: CaseProblem) => void,
): Batch {
  const pieces: string[] = []
  let at = 0
  for (const { line, n, offset } of linesOf(batch.text)) {
    const id = idIn(line)
    const number = batch.from + n - 1
    const before = id === undefined ? undefined : ids.before(id, number)
    if (id === undefined || before === undefined) continue
    const place = { file, offset: batch.offset + offset }
    say({
      diagnostic: sameId(line, number, place, id, before),
      line: { text: line, offset: place.offset },
    })
    // Blank, and as long: what follows keeps its place.
    pieces.push(batch.text.slice(at, offset), " ".repeat(line.length))
    at = offset + line.length
  }
  return pieces.length === 0 ? batch : { ...batch, text: pieces.join("") + batch.text.slice(at) }
}

function singleRows(
  batch: RowsBatch,
  column: number,
  { file }: Source,
  ids: Ids,
  say: (problem: CaseProblem) => void,
): Batch {
  const rows = batch.rows.map((cells, i) => {
    const id = cells[column]?.trim() ?? ""
    const row = batch.from + i
    const before = id === "" ? undefined : ids.before(id, row)
    if (before === undefined) return cells
    const message = `Row ${row}: ${doubledId(excerpt(id), `row ${before}`)}`
    const span = { file, start: 0, end: 0 }
    const help = "The row is left out."
    say({
      diagnostic: {
        ...diagnostic("error", "case-shape", span, message, { help }),
        line: row,
        path: `row ${row}`,
      },
    })
    return []
  })
  return { ...batch, rows }
}
