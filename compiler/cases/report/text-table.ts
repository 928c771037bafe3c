/** Words and columns of the reports in plain text. */
import type { Paired } from "../stats/paired-means.ts"
import type { Share } from "../stats/wilson.ts"

export const percent = (share: number, digits = 1) => `${(100 * share).toFixed(digits)} %`

/** With the minus of typography, and no minus before zero. */
export function signed(value: number, digits = 1): string {
  const text = Math.abs(value).toFixed(digits)
  return Number(text) === 0 ? text : `${value < 0 ? "−" : "+"}${text}`
}

export function countOf(n: number, one: string, many = `${one}s`): string {
  return `${n.toLocaleString("en")} ${n === 1 ? one : many}`
}

/** Count, share, interval. */
export function shareCells({ count, of, share, low, high }: Share): [string, string, string] {
  return [
    `${count} of ${of}`,
    of > 0 ? percent(share) : "",
    of > 0 ? `${percent(low)} to ${percent(high)}` : "",
  ]
}

export const wayOf = (method: Paired["method"]) =>
  method === "bootstrap" ? "bootstrap, 2,000 resamples, fixed seed" : "normal"

/** Columns two spaces apart; a column of figures is set to the right. */
export function table(rows: readonly (readonly string[])[]): string[] {
  const columns = Math.max(0, ...rows.map((row) => row.length))
  const widths = Array.from({ length: columns }, (_, c) =>
    Math.max(...rows.map((row) => (row[c] ?? "").length)),
  )
  const figures = widths.map((_, c) =>
    rows.slice(1).every((row) => !row[c] || /^[−+]?\d[\d.,]*( %)?$/.test(row[c])),
  )
  return rows.map((row) =>
    row
      .map((cell, c) => (figures[c] && c > 0 ? cell.padStart(widths[c]!) : cell.padEnd(widths[c]!)))
      .filter((_, c) => widths[c]! > 0)
      .join("  ")
      .trimEnd(),
  )
}
