/** Files and offsets as the compiler has them, addresses and positions as the protocol has them. */
import { fileURLToPath, pathToFileURL } from "node:url"
import type { Location, Position, Range, TextEdit } from "vscode-languageserver"
import type { Change, Span } from "../../diagnostics/diagnostic.ts"
import type { Lines } from "../../diagnostics/line-index.ts"
import { withSlashes } from "../io/files.ts"
import type { Project } from "./project.ts"

/** A file of the disk by its path, anything else that an editor holds by its address. */
export function fileOf(uri: string): string {
  return uri.startsWith("file:") ? withSlashes(fileURLToPath(uri)) : uri
}

export function uriOf(file: string): string {
  return /^[a-z][a-z0-9+.-]+:/i.test(file) ? file : pathToFileURL(file).href
}

export function positionAt(lines: Lines, offset: number): Position {
  const { line, column } = lines.at(offset)
  return { line: line - 1, character: column - 1 }
}

export function offsetAt(lines: Lines, { line, character }: Position): number {
  const { start, end } = lines.bounds(line + 1)
  return Math.min(start + character, end)
}

export function rangeOf(lines: Lines, { start, end }: { start: number; end: number }): Range {
  return { start: positionAt(lines, start), end: positionAt(lines, end) }
}

export function locationOf(project: Project, span: Span): Location {
  return { uri: uriOf(span.file), range: rangeOf(project.lines(span.file), span) }
}

export function editOf(lines: Lines, { span, text }: Change): TextEdit {
  return { range: rangeOf(lines, span), newText: text }
}

/** Changes of one or several files, by address. */
export function editsOf(project: Project, changes: readonly Change[]): Record<string, TextEdit[]> {
  const files = [...new Set(changes.map(({ span }) => span.file))]
  return Object.fromEntries(
    files.map((file) => {
      const own = changes.filter(({ span }) => span.file === file)
      return [uriOf(file), own.map((change) => editOf(project.lines(file), change))]
    }),
  )
}
