import { codeList, codeSection } from "../../check/codes-page.ts"
import type { Diagnostic } from "../../diagnostics/diagnostic.ts"
import { CASE_CODES } from "./codes.ts"

/** The reference of what is said of recorded cases, as Markdown. `says`: what reading an example finds. */
export function caseCodesPage(says: (line: string) => readonly Diagnostic[]): string {
  const codes = Object.entries(CASE_CODES).map(([code, text]) => ({ code, ...text }))
  return `# What is said of recorded cases

<!-- Written by \`test/cases/codes.test.ts\` out of \`compiler/cases/record/codes.ts\`; edit it there. -->

What cannot be read spoils nothing else: of a step, a finding or a value it is that alone that is left out, and it is said where it stands.
In a table, what is said of a row leaves out the whole row, \`case-fault\` and \`case-complaint\` excepted; the rows left out can be saved and mended.

Each example is run as a test, and so is its mended form, of which there is nothing to say. They are jobs on the gate of
[the other codes](../check/CODES.md).

${codeList(codes, "when it is said")}

${codes.map((each) => codeSection(each, says(each.example), "jsonl")).join("\n")}`
}
