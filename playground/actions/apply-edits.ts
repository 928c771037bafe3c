import type { Diagnostic, Edit } from "../../compiler/diagnostics/diagnostic.ts"
import { activeFile, project, quickFindings, say } from "../state.ts"
import { changeFile, language } from "./text.ts"

/** Applies an edit of a finding to the files; the editor takes it over as one undoable step. */
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

/** The changes of all edits that cannot be wrong; of two at one place the first. */
export function sureChanges(all: readonly Diagnostic[]): Edit["changes"][number][] {
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

/** Mends whatever can be mended without a doubt, in one step that can be undone. */
export function applySure(): void {
  const changes = sureChanges(quickFindings.value)
  applyEdit({ title: `${changes.length} places are mended`, safe: true, changes })
}

/** Brings the file shown into the formatter's form; a text with errors is left as it is. */
export async function formatFile(): Promise<void> {
  const file = activeFile.value
  const changes = await language.format(file)
  if (changes.length > 0) return applyEdit({ title: `${file} is formatted`, safe: true, changes })
  const broken = quickFindings.value.some((found) => found.severity === "error" && found.span.file === file)
  say(broken ? "A text with errors is not formatted: mend them first." : `${file} is in form already.`)
}
