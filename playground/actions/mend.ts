import type { Edit } from "../../compiler/syntax/finding.ts"
import { project, say } from "../state.ts"
import { changeFile } from "./text.ts"

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
