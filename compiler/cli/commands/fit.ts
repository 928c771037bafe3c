import { type Command, InvalidArgumentError } from "commander"
import { createTwoFilesPatch } from "diff"
import { type Fit, Fitting, graphWithoutPlan, isHarmful, USUAL_WEIGHT } from "../../cases/fit/fit.ts"
import { patched } from "../../cases/fit/patch.ts"
import { renderFit } from "../../cases/fit/render-text.ts"
import { entriesOf } from "../../cases/table/batch.ts"
import { columnMapping } from "../../cases/table/read-row.ts"
import type { Analysis } from "../../compile.ts"
import type { Graph } from "../../run/graph.ts"
import { openCaseFile } from "../io/case-files.ts"
import { CaseProblems, problemsOf } from "../io/case-problems.ts"
import { analyseFile } from "../io/compile-file.ts"
import { displayName, withSlashes } from "../io/files.ts"
import { latestDay } from "../io/latest-day.ts"
import { Output, rewrite } from "../io/output.ts"
import { printDiagnostics } from "../io/print-diagnostics.ts"
import { progressText } from "../io/progress.ts"
import { singleCases } from "../io/single-cases.ts"
import { err, hasColor, out, outJson, ProgressLine, plain, style } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"
import { draftFrom } from "./draft.ts"

const HELP = `
Fits the odds, the percentages of shows and normally, how often an intermittent fault shows the complaint, the trust in
told answers, and how often redoing cures. Numbers that aren't in the text, 0 % and 100 % are never changed. The change is
printed as a patch; nothing is overwritten unless you ask. A fault without \`confirmed\` may be no more than what the plan
ended with, so such cases are left out unless you ask. Exit code 1 if the numbers do worse on such cases and so weren't written.

Examples:
  $ ruleout fit kiosk.ruleout kiosk.cases.jsonl
  $ ruleout fit kiosk.ruleout kiosk.cases.jsonl --weight 50 --write
  $ ruleout fit --new jobs.csv -o drafted.ruleout`

interface Options {
  readonly weight?: number
  readonly unconfirmed?: true
  readonly out?: string
  readonly write?: true
  readonly force?: true
  readonly json?: true
  readonly new?: string
  readonly digits: number
}

export function addFit(program: Command, done: (exit: Exit) => void): void {
  program
    .command("fit")
    .summary("estimate a ruleset's numbers from recorded cases")
    .description("Estimates a ruleset's odds and percentages from cases, and reports whether that helps.")
    .argument("[ruleset]", "a ruleset")
    .argument("[cases]", "recorded cases: lines of JSON, or a table (.csv, .tsv); - for standard input")
    .option(
      "--weight <n>",
      `how many cases the author's numbers count as (default: ${USUAL_WEIGHT}; with --new: 1)`,
      above0,
    )
    .option("--unconfirmed", "learn also from cases that don't say how their fault was `confirmed`")
    .option("-o, --out <file>", "write the changed ruleset to this file, - for standard output")
    .option("--write", "change the ruleset in place, and the files that it uses")
    .option(
      "--force",
      "overwrite a file that exists; also write numbers that do worse on cases they were not fitted to",
    )
    .option("--json", "print the estimates as JSON")
    .option("--new <table>", "draft a ruleset from a table of cases alone, with a column `fault`")
    .option("--digits <n>", "significant digits of the numbers in a draft", figures, 3)
    .addHelpText("after", HELP)
    .action(async (ruleset: string | undefined, cases: string | undefined, options: Options) =>
      done(await run(ruleset, cases, options)),
    )
}

function above0(text: string): number {
  const n = Number(text)
  if (Number.isFinite(n) && n > 0) return n
  throw new InvalidArgumentError("Give a number above 0.")
}

function figures(text: string): number {
  const n = Number(text)
  if (Number.isSafeInteger(n) && n >= 1 && n <= 15) return n
  throw new InvalidArgumentError("Give a whole number from 1 to 15.")
}

async function run(ruleset: string | undefined, cases: string | undefined, options: Options): Promise<Exit> {
  const output = outputOf(options)
  if (options.new !== undefined) {
    if (ruleset !== undefined)
      throw new UserError("A draft has no ruleset yet: name only the table after --new.")
    const { text, notes } = await draftFrom(options.new, options.weight ?? 1, options.digits)
    for (const note of notes) err(`${plain(note)}\n`)
    give(text, output)
    return 0
  }
  if (ruleset === undefined || cases === undefined)
    throw new UserError("Name a ruleset and its cases.", "Or draft a ruleset from a table: --new TABLE.")
  if (options.out !== undefined && options.write) throw new UserError("Use either --out or --write.")
  const analysis = analyseFile(ruleset)
  const errors = analysis.diagnostics.filter(({ severity }) => severity === "error")
  if (analysis.model === undefined || errors.length > 0) {
    printDiagnostics(errors, analysis.sources)
    err(`${plain(displayName(ruleset))} can't be fitted: fix the errors first.\n`)
    return 2
  }
  const problems = new CaseProblems()
  const { weight = USUAL_WEIGHT, unconfirmed = false } = options
  const fitting = new Fitting(analysis.model, analysis.trees, { weight, unconfirmed })
  await readAll(cases, graphWithoutPlan(analysis.model), problems, fitting)
  const result = fitting.result()
  // What harms is printed as a patch, for the author to look at; it goes into a file only if forced.
  const isRefused =
    isHarmful(result) && options.force !== true && (options.write || options.out !== undefined)
  const { write: _, out: __, ...printing } = options
  deliver(ruleset, analysis, result, problems, isRefused ? printing : options, output)
  if (!isRefused) return problems.exit
  err("Nothing was written, because the numbers harm. Add --force to write them all the same.\n")
  return problems.exit === 2 ? 2 : 1
}

async function readAll(file: string, graph: Graph, problems: CaseProblems, fitting: Fitting): Promise<void> {
  const caseFile = await openCaseFile(file)
  const source = {
    file,
    today: latestDay(),
    ...(caseFile.header ? { mapping: columnMapping(caseFile.header, graph) } : {}),
  }
  const progress = new ProgressLine()
  let seen = 0
  for await (const batch of singleCases(caseFile.batches, source, (each) => problems.add([each]))) {
    for (const entry of entriesOf(batch, graph, source)) {
      if (entry.diagnostics.length > 0) problems.add(problemsOf(entry))
      if (!entry.case) continue
      seen++
      fitting.add(entry.case)
    }
    progress.show(progressText(seen, caseFile.progress()))
  }
  progress.clear()
}

function deliver(
  ruleset: string,
  { sources }: Analysis,
  fit: Fit,
  problems: CaseProblems,
  options: Options,
  output: Output | undefined,
): void {
  const texts = patched(fit.changes, sources)
  if (options.json) {
    const changes = fit.changes.map(({ change, ...said }) => ({ ...said, ...change.span }))
    outJson({ fit: { ...fit, changes }, findings: problems.diagnostics })
  } else problems.say()
  const root = withSlashes(ruleset)
  if (options.write) for (const [file, text] of texts) rewrite(file, text)
  else if (options.out !== undefined) {
    const others = [...texts.keys()].filter((file) => file !== root)
    if (others.length > 0)
      throw new UserError(
        `The change also affects files that the ruleset uses: ${others.map(displayName).join(", ")}.`,
        "Use --write to change them in place, or apply the printed patch.",
      )
    give(texts.get(root) ?? sources.get(root) ?? "", output)
  } else if (!options.json) out(patchText(texts, sources, hasColor(process.stdout)))
  // Standard output is for the ruleset or the patch; the summary goes to standard error.
  if (!options.json) (options.write ? out : err)(plain(renderFit(fit)))
}

/** Before the work, so that a name that can't be used is said before it. */
function outputOf({ out: file, force }: Options): Output | undefined {
  return file === undefined || file === "-" ? undefined : new Output(file, { kind: "ruleset", force })
}

function give(text: string, output: Output | undefined): void {
  if (output === undefined) out(text)
  else output.write(text)
}

/** A unified diff for `patch` or `git apply`. */
function patchText(
  texts: ReadonlyMap<string, string>,
  sources: ReadonlyMap<string, string>,
  color: boolean,
): string {
  const { good, bad, bold, dim } = style(color)
  return [...texts]
    .map(([file, text]) => {
      const before = sources.get(file) ?? ""
      const diff = createTwoFilesPatch(`a/${file}`, `b/${file}`, before, text, undefined, undefined, {
        context: 1,
      })
      const lines = diff.split("\n").filter((line) => !/^={10,}$/.test(line))
      if (!color) return lines.join("\n")
      return lines
        .map((line) => {
          if (/^(---|\+\+\+) /.test(line)) return bold(line)
          if (line.startsWith("@@")) return dim(line)
          return line.startsWith("+") ? good(line) : line.startsWith("-") ? bad(line) : plain(line)
        })
        .join("\n")
    })
    .join("")
}
