/** Columns of the reports in plain text. */
import { fixedPercent } from "../../wording/figures.ts"
import type { Paired } from "../stats/paired-means.ts"
import type { Share } from "../stats/wilson.ts"

/** Count, share, interval. */
export function shareCells({ count, of, share, low, high }: Share): [string, string, string] {
  return [
    `${count} of ${of}`,
    of > 0 ? fixedPercent(share) : "",
    of > 0 ? `${fixedPercent(low)} to ${fixedPercent(high)}` : "",
  ]
}

/** How the intervals of `Paired` were found. */
export const wayOf = (method: Paired["method"]) =>
  method === "bootstrap" ? "bootstrap, 2,000 resamples, fixed seed" : "normal"

/** Columns two spaces apart; a column of figures is set to the right. */
export function table(rows: readonly (readonly string[])[]): string[] {
  const columns = Math.max(0, ...rows.map((row) => row.length))
  const widths = Array.from({ length: columns }, (_, c) =>
    Math.max(...rows.map((row) => (row[c] ?? "").length)),
  )
  const figures = widths.map((_, c) =>
    rows.slice(1).every((row) => !row[c] || /^[-−+]?\d[\d.,]*( %)?$/.test(row[c])),
  )
  return rows.map((row) =>
    row
      .map((cell, c) => (figures[c] && c > 0 ? cell.padStart(widths[c]!) : cell.padEnd(widths[c]!)))
      .filter((_, c) => widths[c]! > 0)
      .join("  ")
      .trimEnd(),
  )
}
