import { goToSource } from "../actions/go.ts"
import { uses } from "../actions/uses.ts"
import { project } from "../state.ts"

/** The line of a rule, by its place in the report, as a way into the text; plain words where the text has moved on. */
export function LineLink({ rule, line }: { rule: number; line: number }) {
  const span = uses.value?.list.filter(({ of }) => of === "rule")[rule]?.span
  if (!span) return <>line {line}</>
  return (
    <button type="button" class="plain link" onClick={() => goToSource(span)}>
      {span.file === project.value.root ? "" : `${span.file} `}line {line}
    </button>
  )
}
