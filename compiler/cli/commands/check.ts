import type { Command } from "commander"
import { sarif } from "../../check/sarif.ts"
import { type Testability, testability } from "../../check/testability.ts"
import { analyse, type Compiled } from "../../compile.ts"
import { type Diagnostic, inOrder } from "../../diagnostics/diagnostic.ts"
import { VERSION } from "../../version.ts"
import { compileFile, sourceReader } from "../io/compile-file.ts"
import { withSlashes } from "../io/files.ts"
import { countDiagnostics, countsText, diagnosticsText } from "../io/print-diagnostics.ts"
import { hasColor, out, outJson, plain, style } from "../io/terminal.ts"
import { type Exit, exitOf, UserError } from "../io/user-error.ts"
import { fix } from "./fix.ts"
import { figuresText } from "./isolation-text.ts"

const help = `
Exit code 2 if there is an error, 1 if there is a warning. Notes don't count.

Examples:
  $ ruleout check kiosk.ruleout
  $ ruleout check shop/*.ruleout --json
  $ ruleout check kiosk.ruleout --gaps        as a decision table that has to be complete
  $ ruleout check kiosk.ruleout --plan        and what the best plan shows
  $ ruleout check kiosk.ruleout --figures     and how far the plan narrows a fault down
  $ ruleout check kiosk.ruleout --fix         applies the edits that change nothing
  $ cat kiosk.ruleout | ruleout check -`

export function addCheck(program: Command, done: (exit: Exit) => void): void {
  program
    .command("check")
    .summary("report problems in a ruleset")
    .description(
      "Reports the problems in each ruleset: in its text, in its names and units, and in what its rules do together.",
    )
    .argument("<file...>", "rulesets, - for standard input")
    .option("--json", "print the problems as JSON")
    .option("--sarif", "print the problems as SARIF 2.1.0, for tools that collect them")
    .option(
      "--gaps",
      "report findings that no rule speaks of, also where faults have `shows` and the chances go on",
    )
    .option("--plan", "plan too, and report what the best plan shows")
    .option("--figures", "plan too, and print how far the plan isolates a fault")
    .option("--fix", "apply the edits that don't change what a ruleset means, and list them")
    .addHelpText("after", help)
    .action((files: string[], options: Options) => done(check(files, options)))
}

interface Options {
  readonly json?: true
  readonly sarif?: true
  readonly gaps?: boolean
  readonly plan?: true
  readonly figures?: true
  readonly fix?: true
}

function check(
  files: readonly string[],
  { json, sarif: asSarif, gaps = false, plan, figures: measure, fix: applyFixes }: Options,
): Exit {
  if (json && asSarif) throw new UserError("Use either --json or --sarif.", "Both go to standard output.")
  if (applyFixes && files.includes("-"))
    throw new UserError("Standard input can't be fixed.", "Name the file, or leave out --fix.")
  const fixed = applyFixes ? files.flatMap((file) => fix(file)) : []
  const isolation: { file: string; figures: Testability }[] = []
  const diagnostics: Diagnostic[] = []
  const sources = new Map<string, string>()
  for (const file of files) {
    const seen: Compiled =
      plan || measure ? compileFile(file, { gaps }) : analyse(withSlashes(file), sourceReader(file), { gaps })
    if (measure && seen.model && seen.plan)
      isolation.push({ file, figures: testability(seen.model, seen.plan) })
    for (const [path, text] of seen.sources) sources.set(path, text)
    // A file that two rulesets use is reported once.
    for (const each of inOrder(seen.diagnostics))
      if (!diagnostics.some((other) => JSON.stringify(other) === JSON.stringify(each))) diagnostics.push(each)
  }
  const counts = countDiagnostics(diagnostics)
  if (asSarif) outJson(sarif(diagnostics, sources, VERSION))
  else if (json)
    outJson({
      findings: diagnostics,
      ...counts,
      ...(measure ? { isolation } : {}),
      ...(applyFixes ? { mended: fixed } : {}),
    })
  else {
    for (const { file, title, message } of fixed) out(`${plain(file)}: ${plain(title)}. ${plain(message)}\n`)
    if (diagnostics.length > 0) out(`${diagnosticsText(diagnostics, sources, hasColor(process.stdout))}\n`)
    const { good, bold } = style(hasColor(process.stdout))
    const many = files.length === 1 ? "" : ` in ${files.length} files`
    out(
      diagnostics.length > 0
        ? `${bold(`${countsText(counts)}${many}`)}\n`
        : `${good(`No problems found${many}.`)}\n`,
    )
    for (const each of isolation) out(`\n${figuresText(plain(each.file), each.figures)}`)
  }
  return exitOf(counts)
}
