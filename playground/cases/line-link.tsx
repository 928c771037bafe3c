import { uses } from "../actions/line-uses.ts"
import { SourceLink } from "../ui/source-link.tsx"

/** The line of a rule, by its place in the report, as a way into the text; plain words where the text has moved on. */
export function LineLink({ rule, line }: { rule: number; line: number }) {
  const span = uses.value?.list.filter(({ of }) => of === "rule")[rule]?.span
  return span ? <SourceLink span={span} /> : <>line {line}</>
}
