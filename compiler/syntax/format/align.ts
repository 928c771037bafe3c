import { displayWidth } from "../../diagnostics/display-width.ts"
import { at } from "../../run/lookup.ts"
import {
  clausesBesideHead,
  type DeclarationLayout,
  type FirstLine,
  firstLine,
  INDENT,
  isBroken,
  WIDTH,
  wordsOf,
} from "./layout.ts"

/** The widths of the columns of a group, and in which order they come. */
type Columns = ReadonlyMap<string, number>

/**
 * The first lines of declarations in a row, set in columns; undefined if there is nothing to align. As much is
 * aligned as keeps every line within the width: all, else only the heads, else only the names. A declaration that needs
 * several lines anyway takes part with its head.
 */
export function alignGroup(layouts: readonly DeclarationLayout[]): (FirstLine | undefined)[] {
  if (layouts.length < 2 || !at(layouts, 0).hasColumns) return layouts.map(() => undefined)
  const order = columnOrder(layouts)
  const rows = layouts.map((layout) => {
    const fits = displayWidth(firstLine(layout)) <= WIDTH && isOrdered(layout, order) && !isBroken(layout)
    return fits ? layout : { ...layout, clauses: [] }
  })
  for (const depth of [Number.POSITIVE_INFINITY, 2, 1]) {
    const columns = measure(rows, order, depth)
    const lines = rows.map((row) => alignedLine(row, columns))
    if (depth === 1 || lines.every((line) => displayWidth(line) <= WIDTH))
      return rows.map((row, i) => ({ text: at(lines, i), clauses: clausesBesideHead(row).length }))
  }
  return []
}

/** Every column of the group once, in the order of the first declaration that has it, after those before. */
function columnOrder(layouts: readonly DeclarationLayout[]): string[] {
  const order: string[] = []
  for (const layout of layouts) {
    let at = 0
    for (const { column } of clausesBesideHead(layout)) {
      const known = order.indexOf(column)
      if (known < 0) order.splice(at++, 0, column)
      else at = known + 1
    }
  }
  return order
}

function isOrdered(layout: DeclarationLayout, order: readonly string[]): boolean {
  let last = -1
  for (const { column } of clausesBesideHead(layout)) {
    const at = order.indexOf(column)
    if (at <= last) return false
    last = at
  }
  return true
}

/** Cells of the first line by column; `head0`, `head1` … for the words of the head. */
function cellsOf(layout: DeclarationLayout): Map<string, string> {
  return new Map([
    ...layout.head.map((atom, i) => [`head${i}`, atom.text] as const),
    ...clausesBesideHead(layout).map((clause) => [clause.column, wordsOf(clause.atoms)] as const),
  ])
}

function measure(rows: readonly DeclarationLayout[], order: readonly string[], depth: number): Columns {
  const cells = rows.map(cellsOf)
  const columns = ["head0", "head1", "head2", ...order]
  return new Map(
    columns.map((column, i) => {
      const width = Math.max(...cells.map((row) => displayWidth(row.get(column) ?? "")))
      return [column, i <= depth ? width : 0]
    }),
  )
}

function alignedLine(layout: DeclarationLayout, columns: Columns): string {
  const cells = cellsOf(layout)
  let line = ""
  for (const [column, width] of columns) {
    const cell = cells.get(column)
    if (cell === undefined && width === 0) continue
    const joint = line === "" ? "" : column.startsWith("head") ? " " : INDENT
    line += joint + (cell ?? "") + " ".repeat(Math.max(0, width - displayWidth(cell ?? "")))
  }
  return line.trimEnd()
}
