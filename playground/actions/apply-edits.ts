import { applyToFiles, safeEdits } from "../../compiler/diagnostics/apply-edits.ts"
import type { Edit } from "../../compiler/diagnostics/diagnostic.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import { activeFile, project, quickDiagnostics, say } from "../state/state.ts"
import { changeFile, language } from "./text.ts"

/** Applies an edit to the files; the editor makes it one undoable step. */
export function applyEdit(edit: Edit): void {
  for (const [file, text] of applyToFiles(edit.changes, new Map(Object.entries(project.value.files))))
    changeFile(file, text)
  say(`Done: ${edit.title}.`)
}

/** Applies all safe edits in one undoable step. */
export function applySafeEdits(): void {
  const edits = safeEdits(quickDiagnostics.value)
  const changes = edits.flatMap(({ edit }) => edit.changes)
  applyEdit({ title: `fixed ${countOf(edits.length, "problem")}`, safe: true, changes })
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
