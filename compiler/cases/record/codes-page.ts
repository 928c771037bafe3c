import { codeList, codeSection } from "../../check/codes-page.ts"
import type { Diagnostic } from "../../diagnostics/diagnostic.ts"
import { CASE_CODES } from "./codes.ts"

/** The reference of the problems in recorded cases, as Markdown. `says`: the diagnostics of an example. */
export function caseCodesPage(says: (line: string) => readonly Diagnostic[]): string {
  const codes = Object.entries(CASE_CODES).map(([code, text]) => ({ code, ...text }))
  return `# Problems in recorded cases

<!-- Written by \`test/cases/codes.test.ts\` from \`compiler/cases/record/codes.ts\`; edit it there. -->

A problem affects as little as possible: a value, a finding or a step that cannot be read is left out, and the rest is used.
In a table, a problem leaves out its whole row, except \`case-fault\` and \`case-complaint\`; the rows left out can be saved and corrected.

Each example is run as a test, and so is its fixed form, which has no problem. They are jobs on the gate of
[the other codes](../check/CODES.md).

${codeList(codes, "when it is reported")}

${codes.map((each) => codeSection(each, says(each.example), "jsonl")).join("\n")}`
}
