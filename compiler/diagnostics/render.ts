import type { Diagnostic, Severity, Span } from "./diagnostic.ts"
import { displayWidth } from "./display-width.ts"
import { visible } from "./escape.ts"
import { Lines } from "./line-index.ts"
import { underlined } from "./underline.ts"

export { lineAndColumn } from "./line-index.ts"

/** Columns of a source line that are shown; a longer one is cut around what is marked. */
const WIDE = 100
const TAB = 4

type Paint = Severity | "label" | "dim" | "bold"
const COLORS: Record<Paint, string> = {
  error: "1;31",
  warning: "1;33",
  note: "1;36",
  label: "34",
  dim: "2",
  bold: "1",
}

interface Mark {
  readonly span: Span
  readonly text: string
  readonly primary: boolean
}

/**
 * Findings as text for a terminal: each with its place, the source lines with the marked stretches under them, and the
 * next step. `sources` gives the text of each file; a file that is not in it is named without its lines. Nothing from a
 * source reaches the terminal that it would obey: control characters are shown as `<U+0007>`.
 */
export function renderText(
  diagnostics: readonly Diagnostic[],
  sources: ReadonlyMap<string, string>,
  { color = false }: { color?: boolean } = {},
): string {
  const known = new Map<string, Lines>()
  const linesOf = (file: string): Lines | undefined => {
    const text = sources.get(file)
    if (text !== undefined && !known.has(file)) known.set(file, new Lines(text))
    return known.get(file)
  }
  const paint = (as: Paint, text: string): string => (color ? `\x1b[${COLORS[as]}m${text}\x1b[0m` : text)
  return diagnostics.map((diagnostic) => renderOne(diagnostic, linesOf, paint)).join("\n")
}

type Painter = (as: Paint, text: string) => string

function renderOne(
  diagnostic: Diagnostic,
  linesOf: (file: string) => Lines | undefined,
  paint: Painter,
): string {
  const { severity, code, message, span, labels, help, edits } = diagnostic
  const out = [
    `${paint(severity, `${severity}:`)} ${paint("bold", visible(message))} ${paint("dim", `[${code}]`)}`,
  ]
  const marks: Mark[] = [
    { span, text: "", primary: true },
    ...labels.map((label) => ({ ...label, primary: false })),
  ]
  for (const [file, here] of byFile(marks)) {
    const lines = linesOf(file)
    if (lines === undefined) {
      out.push(
        `  ${visible(file)}`,
        ...here.filter((mark) => mark.text).map((mark) => `  ${visible(mark.text)}`),
      )
      continue
    }
    const [first] = here
    const { line, column } = lines.at(first.span.start)
    out.push(`  ${visible(file)}:${line}:${column}`, ...renderLines(here, lines, severity, paint))
  }
  if (help !== undefined) out.push(`  ${paint("bold", "help:")} ${visible(help)}`)
  for (const edit of edits) out.push(`  ${paint("bold", "edit:")} ${visible(edit.title)}`)
  return `${out.join("\n")}\n`
}

/** The marks of each file in their order, the files by their first marks. */
function byFile(marks: readonly Mark[]): Map<string, [Mark, ...Mark[]]> {
  const files = new Map<string, [Mark, ...Mark[]]>()
  for (const mark of marks) {
    const here = files.get(mark.span.file)
    if (here === undefined) files.set(mark.span.file, [mark])
    else here.push(mark)
  }
  return files
}

/** The marked lines in their order, each with a row per mark below it; a gap between them shows as `…`. */
function renderLines(marks: readonly Mark[], lines: Lines, severity: Severity, paint: Painter): string[] {
  const placed = marks
    .map((mark) => ({ mark, line: lines.at(mark.span.start).line }))
    .sort((a, b) => a.line - b.line || a.mark.span.start - b.mark.span.start)
  const gutter = String(Math.max(...placed.map(({ line }) => line))).length + 2
  const bar = paint("dim", `${" ".repeat(gutter + 1)}|`)
  const out: string[] = []
  let shown: View | undefined
  let last: number | undefined
  for (const { mark, line } of placed) {
    if (shown === undefined || line !== last) {
      if (last !== undefined && line > last + 1) out.push(paint("dim", `${" ".repeat(gutter)}…`))
      shown = view(lines, line, mark.span.start)
      out.push(`${paint("dim", `${String(line).padStart(gutter)} |`)} ${shown.text}`.trimEnd())
      last = line
    }
    const from = shown.column(mark.span.start)
    const to = Math.max(shown.column(underlined(lines.text, mark.span).end), from + 1)
    const under = (mark.primary ? "^" : "-").repeat(to - from)
    const words = mark.text === "" ? "" : ` ${visible(mark.text)}`
    out.push(`${bar} ${" ".repeat(from)}${paint(mark.primary ? severity : "label", under + words)}`)
  }
  return out
}

interface View {
  readonly text: string
  /** The column, from 0, in which the character at an offset of the source is shown. */
  column(offset: number): number
}

function view(lines: Lines, line: number, focus: number): View {
  const { start, end } = lines.bounds(line)
  let from = start
  if (end - start > WIDE && focus - start > WIDE / 2) from = focus - WIDE / 4
  const first = lines.text.charCodeAt(from)
  if (from > start && first >= 0xdc00 && first <= 0xdfff) from--
  const columns: number[] = []
  let text = from > start ? "…" : ""
  let column = text.length
  let at = from
  for (const character of lines.text.slice(from, Math.min(end, from + 4 * WIDE))) {
    if (column >= WIDE) break
    const cell = character === "\t" ? " ".repeat(TAB - (column % TAB)) : visible(character)
    for (let i = 0; i < character.length; i++) columns.push(column)
    text += cell
    column += displayWidth(cell)
    at += character.length
  }
  if (at < end) text += "…"
  return {
    text,
    column: (offset) => (offset < from ? 0 : (columns[offset - from] ?? column)),
  }
}
