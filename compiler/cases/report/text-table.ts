import { at } from "../../run/lookup.ts"

/** Columns two spaces apart, the first row their head; a column of figures is set to the right. */
export function table(rows: readonly (readonly string[])[]): string[] {
  const columns = Math.max(0, ...rows.map((row) => row.length))
  const widths = Array.from({ length: columns }, (_, c) =>
    Math.max(...rows.map((row) => (row[c] ?? "").length)),
  )
  const figures = widths.map((_, c) =>
    rows.slice(1).every((row) => !row[c] || /^[-+−]?\d[\d.,]*( %| ± \d[\d.,]*)?$/.test(row[c])),
  )
  return rows.map((row) =>
    row
      .map((cell, c) => (figures[c] && c > 0 ? cell.padStart(at(widths, c)) : cell.padEnd(at(widths, c))))
      .filter((_, c) => at(widths, c) > 0)
      .join("  ")
      .trimEnd(),
  )
}
