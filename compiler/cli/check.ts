import type { Command } from "commander"
import { analyse } from "../compile.ts"
import { type Finding, inOrder } from "../syntax/finding.ts"
import { slashed } from "./files.ts"
import { counted, countText, findingsText } from "./findings.ts"
import { reader } from "./source.ts"
import { hasColor, out, outJson, style } from "./terminal.ts"
import type { Exit } from "./trouble.ts"

const help = `
Exit code 1 where there is an error or a warning; notes do not count.

Examples:
  $ ruleout check kiosk.ruleout
  $ ruleout check shop/*.ruleout --json
  $ cat kiosk.ruleout | ruleout check -`

export function addCheck(program: Command, done: (exit: Exit) => void): void {
  program
    .command("check")
    .summary("say what is wrong with a ruleset")
    .description(
      "Says what is wrong with each ruleset: its text, its names and units, and what its rules can do together.",
    )
    .argument("<file...>", "rulesets, - for standard input")
    .option("--json", "print the findings as JSON")
    .addHelpText("after", help)
    .action((files: string[], { json }: { json?: true }) => done(check(files, json === true)))
}

function check(files: readonly string[], json: boolean): Exit {
  const findings: Finding[] = []
  const sources = new Map<string, string>()
  for (const file of files) {
    const seen = analyse(slashed(file), reader(file))
    for (const [path, text] of seen.sources) sources.set(path, text)
    // A file that two rulesets use is said once.
    for (const each of inOrder(seen.findings))
      if (!findings.some((other) => JSON.stringify(other) === JSON.stringify(each))) findings.push(each)
  }
  const counts = counted(findings)
  if (json) outJson({ findings, ...counts })
  else {
    if (findings.length > 0) out(`${findingsText(findings, sources, hasColor(process.stdout))}\n`)
    const { good, bold } = style(hasColor(process.stdout))
    const many = files.length === 1 ? "" : ` in ${files.length} files`
    out(
      findings.length > 0 ? `${bold(`${countText(counts)}${many}`)}\n` : `${good(`Nothing found${many}.`)}\n`,
    )
  }
  return counts.errors + counts.warnings > 0 ? 1 : 0
}
