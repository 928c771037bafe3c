import Papa from "papaparse"

/** Rows as CSV (RFC 4180, with LF). What a spreadsheet would take for a formula is disarmed. */
export function csvText(rows: readonly (readonly (string | number)[])[]): string {
  if (rows.length === 0) return ""
  return `${Papa.unparse(rows as (string | number)[][], { newline: "\n", escapeFormulae: true })}\n`
}
