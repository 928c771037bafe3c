import type { Span } from "../../compiler/diagnostics/diagnostic.ts"
import { goToSource } from "../actions/navigate.ts"
import { lineOf } from "../state/line-of.ts"
import { project } from "../state/state.ts"

/** The line of a stretch of source, with its file where that is not the main one. */
export function placeOf({ file, start }: Span): string {
  const line = lineOf(project.value.files[file] ?? "", start)
  return file === project.value.root ? `line ${line}` : `${file} line ${line}`
}

/** The line of a stretch of source as a way there. */
export function SourceLink({ span }: { span: Span }) {
  return (
    <button type="button" class="plain link" onClick={() => goToSource(span)}>
      {placeOf(span)}
    </button>
  )
}
