import { displayWidth } from "../../diagnostics/display-width.ts"
import { besides, type FirstLine, firstLine, INDENT, isBroken, type Sheet, WIDTH, wordsOf } from "./layout.ts"

/** The widths of the columns of a group, and in which order they come. */
type Columns = ReadonlyMap<string, number>

/**
 * The first lines of declarations in a row, set in columns; undefined where there is nothing to align. As much is
 * aligned as keeps every line within the width: all, else only the heads, else only the names. A declaration that needs
 * several lines anyway takes part with its head.
 */
export function alignGroup(sheets: readonly Sheet[]): (FirstLine | undefined)[] {
  if (sheets.length < 2 || !sheets[0]!.hasColumns) return sheets.map(() => undefined)
  const order = columnOrder(sheets)
  const rows = sheets.map((sheet) => {
    const fits = displayWidth(firstLine(sheet)) <= WIDTH && isOrdered(sheet, order) && !isBroken(sheet)
    return fits ? sheet : { ...sheet, clauses: [] }
  })
  for (const depth of [Number.POSITIVE_INFINITY, 2, 1]) {
    const columns = measure(rows, order, depth)
    const lines = rows.map((row) => alignedLine(row, columns))
    if (depth === 1 || lines.every((line) => displayWidth(line) <= WIDTH))
      return rows.map((row, i) => ({ text: lines[i]!, clauses: besides(row).length }))
  }
  return []
}

/** Every column of the group once, in the order of the first declaration that has it behind those before. */
function columnOrder(sheets: readonly Sheet[]): string[] {
  const order: string[] = []
  for (const sheet of sheets) {
    let at = 0
    for (const { column } of besides(sheet)) {
      const known = order.indexOf(column)
      if (known < 0) order.splice(at++, 0, column)
      else at = known + 1
    }
  }
  return order
}

function isOrdered(sheet: Sheet, order: readonly string[]): boolean {
  let last = -1
  for (const { column } of besides(sheet)) {
    const at = order.indexOf(column)
    if (at <= last) return false
    last = at
  }
  return true
}

/** Cells of the first line by column; `head0`, `head1` … for the words of the head. */
function cellsOf(sheet: Sheet): Map<string, string> {
  return new Map([
    ...sheet.head.map((atom, i) => [`head${i}`, atom.text] as const),
    ...besides(sheet).map((clause) => [clause.column, wordsOf(clause.atoms)] as const),
  ])
}

function measure(rows: readonly Sheet[], order: readonly string[], depth: number): Columns {
  const cells = rows.map(cellsOf)
  const columns = ["head0", "head1", "head2", ...order]
  return new Map(
    columns.map((column, i) => {
      const width = Math.max(...cells.map((row) => displayWidth(row.get(column) ?? "")))
      return [column, i <= depth ? width : 0]
    }),
  )
}

function alignedLine(sheet: Sheet, columns: Columns): string {
  const cells = cellsOf(sheet)
  let line = ""
  for (const [column, width] of columns) {
    const cell = cells.get(column)
    if (cell === undefined && width === 0) continue
    const joint = line === "" ? "" : column.startsWith("head") ? " " : INDENT
    line += joint + (cell ?? "") + " ".repeat(Math.max(0, width - displayWidth(cell ?? "")))
  }
  return line.trimEnd()
}
