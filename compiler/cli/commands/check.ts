import type { Command } from "commander"
import { type Testability, testability } from "../../check/testability.ts"
import type { Compiled } from "../../compile.ts"
import { type Diagnostic, inOrder } from "../../diagnostics/diagnostic.ts"
import { countOf } from "../../wording/figures.ts"
import { analyseFile, compileFile } from "../io/compile-file.ts"
import { addFormatFlag, type FormatFlags, formatOf } from "../io/format-flag.ts"
import { countDiagnostics, countsText, diagnosticsText } from "../io/print-diagnostics.ts"
import { printForTools, suiteOfProblems } from "../io/print-format.ts"
import { hasColor, out, outJson, plain, style } from "../io/terminal.ts"
import { addTextsFlag, type TextsFlags, textsOption } from "../io/texts-flag.ts"
import { type Exit, exitOf, UserError } from "../io/user-error.ts"
import { addWatchFlag, runWatched, type WatchFlags } from "../io/watch-flag.ts"
import { fix } from "./fix.ts"
import { isolationText } from "./isolation-text.ts"

const HELP = `
Exit code 2 if there is an error, 1 if there is a warning. Notes don't count.

Examples:
  $ ruleout check kiosk.ruleout
  $ ruleout check shop/*.ruleout --json
  $ ruleout check shop/*.ruleout --format github    notes beside the lines of a change
  $ ruleout check kiosk.ruleout --gaps        as a decision table that has to be complete
  $ ruleout check kiosk.ruleout --plan        and what the best plan shows
  $ ruleout check kiosk.ruleout --figures     and how far the plan narrows a fault down
  $ ruleout check kiosk.ruleout --fix         applies the edits that change nothing
  $ ruleout check kiosk.ruleout --texts kiosk.de.ruleout    and what its German lacks
  $ ruleout check kiosk.ruleout --watch       again whenever a file changes
  $ cat kiosk.ruleout | ruleout check -`

export function addCheck(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("check")
    .summary("report problems in a ruleset")
    .description(
      "Reports the problems in each ruleset: in its text, in its names and units, and in what its rules do together.",
    )
    .argument("<file...>", "rulesets, - for standard input")
  addFormatFlag(command)
    .option("--json", "print the problems as JSON")
    .option("--sarif", "print the problems as SARIF 2.1.0, for tools that collect them")
    .option("--gaps", "report findings on which no rule acts, even if faults have `shows`")
    .option("--plan", "plan too, and report what the best plan shows")
    .option("--figures", "plan too, and print how far the plan isolates a fault")
    .option("--fix", "apply the edits that don't change what a ruleset means, and list them")
  addWatchFlag(addTextsFlag(command))
    .addHelpText("after", HELP)
    .action(async (files: string[], options: Options) =>
      done(await runWatched([...files, ...(options.texts ?? [])], options, () => check(files, options))),
    )
}

interface Options extends FormatFlags, TextsFlags, WatchFlags {
  readonly gaps?: boolean
  readonly plan?: true
  readonly figures?: true
  readonly fix?: true
}

function check(files: readonly string[], options: Options): Exit {
  const format = formatOf(options)
  if (options.fix && files.includes("-"))
    throw new UserError("Standard input can't be fixed.", "Name the file, or leave out --fix.")
  if (options.fix && options.watch)
    throw new UserError("Use either --fix or --watch.", "An editor with `ruleout lsp` fixes while you write.")
  const fixed = options.fix ? files.flatMap((file) => fix(file, textsOption(options))) : []
  const checked = checkFiles(files, options)
  const { diagnostics, sources } = checked
  const counts = countDiagnostics(diagnostics)
  const suites = () => checked.files.map((each) => suiteOfProblems(each.file, each.diagnostics, sources))
  if (printForTools(format, diagnostics, sources, suites)) return exitOf(counts)
  if (format === "json")
    outJson({
      findings: diagnostics,
      ...counts,
      ...(options.figures ? { isolation: checked.isolation } : {}),
      ...(options.fix ? { mended: fixed } : {}),
    })
  else {
    for (const { file, title, message } of fixed) out(`${plain(file)}: ${plain(title)}. ${plain(message)}\n`)
    if (options.fix) out(leftText(diagnostics))
    printChecked(checked)
  }
  return exitOf(counts)
}

/** What `--fix` left: edits that are a guess, or take something out. */
function leftText(diagnostics: readonly Diagnostic[]): string {
  const left = diagnostics.filter(({ edits }) => edits.length > 0).length
  if (left === 0) return ""
  return `${countOf(left, "edit")} left to you, since ${left === 1 ? "it" : "they"} may change what the ruleset means; see below.\n`
}

interface CheckedFile {
  readonly file: string
  /** Without what another file before it has too. */
  readonly diagnostics: readonly Diagnostic[]
}

interface Checked {
  readonly files: readonly CheckedFile[]
  readonly diagnostics: readonly Diagnostic[]
  readonly sources: ReadonlyMap<string, string>
  readonly isolation: readonly { readonly file: string; readonly figures: Testability }[]
}

function checkFiles(files: readonly string[], options: Options): Checked {
  const { gaps = false, plan, figures } = options
  const analysis = { gaps, ...textsOption(options) }
  const isolation: { file: string; figures: Testability }[] = []
  const sources = new Map<string, string>()
  // A file that two rulesets use is reported once.
  const said = new Set<string>()
  const checked = files.map((file): CheckedFile => {
    const seen: Compiled = plan || figures ? compileFile(file, analysis) : analyseFile(file, analysis)
    if (figures && seen.model && seen.plan)
      isolation.push({ file, figures: testability(seen.model, seen.plan) })
    for (const [path, text] of seen.sources) sources.set(path, text)
    const diagnostics = inOrder(seen.diagnostics).filter((each) => {
      const key = JSON.stringify(each)
      return !said.has(key) && said.add(key)
    })
    return { file, diagnostics }
  })
  return { files: checked, diagnostics: checked.flatMap((each) => each.diagnostics), sources, isolation }
}

function printChecked({ files, diagnostics, sources, isolation }: Checked): void {
  if (diagnostics.length > 0) out(`${diagnosticsText(diagnostics, sources, hasColor(process.stdout))}\n`)
  const { good, bold } = style(hasColor(process.stdout))
  const many = files.length === 1 ? "" : ` in ${files.length} files`
  const counted = countsText(countDiagnostics(diagnostics))
  out(diagnostics.length > 0 ? `${bold(`${counted}${many}`)}\n` : `${good(`No problems found${many}.`)}\n`)
  for (const { file, figures } of isolation) out(`\n${isolationText(plain(file), figures)}`)
}
