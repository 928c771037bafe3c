import type { CodeTable } from "../diagnostics/collector.ts"
import type { Diagnostic } from "../diagnostics/diagnostic.ts"
import { CODES } from "../model/codes.ts"
import { LIMIT_CODES } from "../plan/codes.ts"
import { at } from "../run/lookup.ts"
import { SYNTAX_CODES } from "../syntax/codes.ts"
import { checks } from "./check.ts"
import type { CodeText } from "./code.ts"
import { FRAME } from "./example-ruleset.ts"

/** The reference of all codes, as Markdown. `says`: what the analysis reports about the declarations of an example. */
export function codesPage(says: (code: string, example: string) => readonly Diagnostic[]): string {
  const pages = checks.map((each) => codeSection(each, says(each.code, each.example), "ruleout"))
  return `# What the compiler reports

<!-- Written by \`test/check/codes.test.ts\` from \`compiler/check/codes/\`; edit those files. -->

Each example is run as a test, and so is its fixed form, which has neither errors nor warnings. The codes about recorded cases have
[a page of its own](../cases/CODES.md).

The analysis is exact, and every question has a budget of steps, the same on every machine. A question that runs out of it is reported
under the code that asks it, as not proved: that is never a clean result.

${codeList(checks, "what it proves")}

The examples add their declarations to this ruleset, about which the analysis reports nothing:

\`\`\`ruleout
${FRAME.trimEnd()}
\`\`\`

${pages.join("\n")}
## Mistakes in the text

The words, the names, the numbers and their units must be right before anything can be proved. Each mistake is reported at its own
place, with the next step. A mistake whose meaning is clear is read as it was meant, so that it doesn't hide others.

${sections({ ...SYNTAX_CODES, ...CODES })}

## Too large

What is right and yet more than can be planned or run. No ruleset from a bench comes near.

${sections(LIMIT_CODES)}
`
}

function sections(codes: CodeTable<string>): string {
  return Object.entries(codes)
    .map(([code, [severity, summary]]) => `### ${code}\n\n_${severity}._ ${summary}`)
    .join("\n\n")
}

/** The section of a code. `language`: of its examples, as after the fence. */
export function codeSection(
  { code, severity, summary, explain, example, fixed }: CodeText,
  diagnostics: readonly Diagnostic[],
  language: string,
): string {
  const found = diagnostics.map(
    ({ message, help }) => `> ${severity}: ${message}${help === undefined ? "" : `\n> ${help}`}`,
  )
  return `## ${code}

_${severity}._ ${summary}

${explain}

\`\`\`${language}
${example}
\`\`\`

${found.join("\n>\n")}

Fixed:

\`\`\`${language}
${fixed}
\`\`\`
`
}

/** The codes with their sections; `heading`: of what each says. */
export function codeList(codes: readonly CodeText[], heading: string): string {
  return table([
    ["code", "severity", heading],
    ...codes.map(({ code, severity, summary }) => [`[\`${code}\`](#${code})`, severity, summary]),
  ])
}

/** Columns of equal width, as the formatter leaves them. */
function table(rows: readonly (readonly string[])[]): string {
  const widths = at(rows, 0).map((_, column) => Math.max(...rows.map((row) => at(row, column).length)))
  const lines = rows.map(
    (row) => `| ${row.map((text, column) => text.padEnd(at(widths, column))).join(" | ")} |`,
  )
  const rule = `| ${widths.map((width) => "-".repeat(width)).join(" | ")} |`
  return [lines[0], rule, ...lines.slice(1)].join("\n")
}
