import type { Span } from "../compiler/syntax/finding.ts"
import { goToSource } from "./actions/go.ts"
import { lineOf } from "./lines.ts"
import { project } from "./state.ts"

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
