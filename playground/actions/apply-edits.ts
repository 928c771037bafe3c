import type { Diagnostic, Edit } from "../../compiler/diagnostics/diagnostic.ts"
import { activeFile, project, quickDiagnostics, say } from "../state.ts"
import { changeFile, language } from "./text.ts"

/** Applies an edit to the files; the editor makes it one undoable step. */
export function applyEdit(edit: Edit): void {
  const { files } = project.value
  const touched = new Set(edit.changes.map(({ span }) => span.file))
  for (const file of touched) {
    let text = files[file]
    if (text === undefined) continue
    const changes = edit.changes
      .filter(({ span }) => span.file === file)
      .sort((a, b) => b.span.start - a.span.start)
    for (const { span, text: put } of changes) text = text.slice(0, span.start) + put + text.slice(span.end)
    changeFile(file, text)
  }
  say(`Done: ${edit.title}.`)
}

/** The changes of all safe edits; where two overlap, only the first. */
export function safeChanges(all: readonly Diagnostic[]): Edit["changes"][number][] {
  const changes = all.flatMap(({ edits }) => edits.filter(({ safe }) => safe).flatMap((edit) => edit.changes))
  const sorted = changes.toSorted(
    (a, b) => a.span.file.localeCompare(b.span.file) || a.span.start - b.span.start,
  )
  const apart: Edit["changes"][number][] = []
  for (const change of sorted) {
    const last = apart.at(-1)?.span
    if (last?.file !== change.span.file || last.end <= change.span.start) apart.push(change)
  }
  return apart
}

/** Applies all safe edits in one undoable step. */
export function applySafeEdits(): void {
  const changes = safeChanges(quickDiagnostics.value)
  applyEdit({ title: `fixed ${changes.length} problems`, safe: true, changes })
}

/** Formats the file shown; a text with errors stays as it is. */
export async function formatFile(): Promise<void> {
  const file = activeFile.value
  const changes = await language.format(file)
  if (changes.length > 0) return applyEdit({ title: `formatted ${file}`, safe: true, changes })
  const broken = quickDiagnostics.value.some(
    (found) => found.severity === "error" && found.span.file === file,
  )
  say(broken ? "Fix the errors first: a text with errors isn't formatted." : `${file} is already formatted.`)
}
