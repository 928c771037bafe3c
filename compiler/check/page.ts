import { CODES } from "../model/codes.ts"
import { SYNTAX_CODES } from "../syntax/codes.ts"
import type { Finding } from "../syntax/finding.ts"
import { checks } from "./check.ts"
import { frame } from "./examples.ts"

/** The reference of all codes, as Markdown. `says`: what the analysis finds in the declarations of an example. */
export function codesPage(says: (code: string, example: string) => readonly Finding[]): string {
  const list = table([
    ["code", "severity", "what it proves"],
    ...checks.map(({ code, severity, summary }) => [`[\`${code}\`](#${code})`, severity, summary]),
  ])
  const pages = checks.map(({ code, severity, summary, explain, example, mended }) => {
    const found = says(code, example).map(
      ({ message, help }) => `> ${severity}: ${message}${help === undefined ? "" : `\n> ${help}`}`,
    )
    return `## ${code}

_${severity}._ ${summary}

${explain}

\`\`\`ruleout
${example}
\`\`\`

${found.join("\n>\n")}

Mended:

\`\`\`ruleout
${mended}
\`\`\`
`
  })
  const mistakes = Object.entries({ ...SYNTAX_CODES, ...CODES }).map(
    ([code, [severity, summary]]) => `### ${code}\n\n_${severity}._ ${summary}`,
  )
  return `# What the compiler finds

<!-- Written by \`test/analysis/codes.test.ts\` out of \`compiler/check/codes/\`; edit it there. -->

Each example is run as a test, and so is its mended form, which has neither an error nor a warning.

${list}

The examples add their declarations to this ruleset, in which the analysis finds nothing:

\`\`\`ruleout
${frame.trimEnd()}
\`\`\`

${pages.join("\n")}
## Mistakes in the text

What has to be right before anything can be proved: the words, the names, the numbers and their units. Each is reported at its own place, with
the next step; a slip whose meaning is clear is read as it was meant, so that one mistake never hides another.

${mistakes.join("\n\n")}
`
}

/** Columns of equal width, as the formatter leaves them. */
function table(rows: readonly (readonly string[])[]): string {
  const widths = rows[0]!.map((_, column) => Math.max(...rows.map((row) => row[column]!.length)))
  const lines = rows.map(
    (row) => `| ${row.map((text, column) => text.padEnd(widths[column]!)).join(" | ")} |`,
  )
  const rule = `| ${widths.map((width) => "-".repeat(width)).join(" | ")} |`
  return [lines[0], rule, ...lines.slice(1)].join("\n")
}
