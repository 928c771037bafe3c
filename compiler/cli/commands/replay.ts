import { type Command, InvalidArgumentError } from "commander"
import { OUTCOME_HEADER } from "../../cases/report/outcome-row.ts"
import { reportPage } from "../../cases/report/render-html.ts"
import { renderReport } from "../../cases/report/render-text.ts"
import type { Report } from "../../cases/report/report.ts"
import { columnMapping } from "../../cases/table/read-row.ts"
import type { Compiled } from "../../compile.ts"
import type { Graph } from "../../run/graph.ts"
import { openCaseFile } from "../io/case-files.ts"
import { CaseProblems } from "../io/case-problems.ts"
import { compileFile } from "../io/compile-file.ts"
import { csvText } from "../io/csv.ts"
import { replayBySql } from "../io/duckdb.ts"
import { checkReadable, displayName, writeTo } from "../io/files.ts"
import { addFormatFlag, type Format, type FormatFlags, formatOf } from "../io/format-flag.ts"
import { latestDay } from "../io/latest-day.ts"
import { loadGraph } from "../io/load-graph.ts"
import { Output } from "../io/output.ts"
import { addPlanFlags, type PlanFlags, planOptions } from "../io/plan-flags.ts"
import { printDiagnostics } from "../io/print-diagnostics.ts"
import { printForTools, suiteOfProblems } from "../io/print-format.ts"
import { progressText } from "../io/progress.ts"
import { addSealFlags, checkVersion, type SealPolicy } from "../io/seal-policy.ts"
import { singleCases } from "../io/single-cases.ts"
import { err, hasColor, out, outJson, ProgressLine, plain, style } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"
import { replayBatches } from "../io/worker-pool.ts"
import { lineUsesText } from "./line-uses-text.ts"

const HELP = `
CASES are lines of JSON, or a table with one column per reading and test if the name ends in .csv or .tsv; see
ruleout import for the columns. A line that can't be read is reported and left out, with exit code 2; so is a row
with a bad cell, with exit code 1. Files may be larger than memory. The formats sarif, github and junit list these problems.

Examples:
  $ ruleout replay kiosk.ruleout kiosk.cases.jsonl
  $ ruleout replay kiosk.ruleout kiosk.cases.jsonl --html report.html --lines
  $ ruleout replay kiosk_dark.graph.json - --json < kiosk.cases.jsonl
  $ ruleout replay kiosk_dark.graph.json year.csv --workers 4 --csv > ends.csv
  $ ruleout replay kiosk_dark.graph.json chain.parquet --sql > ends.csv`

interface Options extends PlanFlags, SealPolicy, Pick<FormatFlags, "format" | "json"> {
  readonly csv?: true
  readonly html?: string
  readonly lines?: true
  readonly table?: true
  readonly sql?: true
  readonly workers: number
  readonly rejected?: string
  readonly force?: true
}

export function addReplay(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("replay")
    .summary("check a graph against recorded cases")
    .description(
      "Walks recorded cases through the graph, and reports where it was right, what it cost, and what no case used.",
    )
    .argument("<graph>", "a compiled graph or a ruleset, - for standard input")
    .argument("<cases>", "recorded cases: lines of JSON, or a table; - for standard input")
  addFormatFlag(addSealFlags(addPlanFlags(command)))
    .option("--json", "print the report as JSON")
    .option("--csv", "print how each case ended, as CSV")
    .option("--html <file>", "write the report as an HTML page with plots")
    .option("--lines", "print the ruleset with counts beside its rules, faults and tests")
    .option("--table", "read the cases as a table, whatever the name")
    .option("--sql", "replay in SQL on DuckDB (.parquet, .csv, .jsonl) and print how each case ended")
    .option("--rejected <file>", "write rows with bad cells to this file")
    .option("--force", "overwrite files that exist")
    .option("--workers <n>", "number of threads", threads, 1)
    .addHelpText("after", HELP)
    .action(async (graph: string, cases: string, options: Options) =>
      done(await replay(graph, cases, options)),
    )
}

function threads(text: string): number {
  const n = Number(text)
  if (Number.isSafeInteger(n) && n >= 1 && n <= 64) return n
  throw new InvalidArgumentError("Give a whole number from 1 to 64.")
}

async function replay(graphFile: string, casesFile: string, options: Options): Promise<Exit> {
  if (graphFile === "-" && casesFile === "-")
    throw new UserError("Only one of the two can be standard input.")
  const format = formatOf(options)
  if (format !== "text" && options.csv)
    throw new UserError(`Use either --${options.json ? "json" : `format ${format}`} or --csv.`)
  const { page, aside } = outputsOf(options)
  const { graph, compiled } = await openGraph(graphFile, options)
  if (graph === undefined) return 2
  if (options.sql) return bySql(graph, casesFile, options)
  const caseFile = await openCaseFile(casesFile, options.table)
  const source = {
    file: casesFile,
    today: latestDay(),
    ...(caseFile.header ? { mapping: columnMapping(caseFile.header, graph) } : {}),
  }
  const problems = new CaseProblems()
  const rejected: (readonly string[])[] = []
  const progress = new ProgressLine()
  let seen = 0
  if (options.csv) await writeTo(process.stdout, csvText([[...OUTCOME_HEADER]]))
  const batches = singleCases(caseFile.batches, source, (problem) => problems.add([problem]))
  const work = { graph, source, rows: options.csv === true }
  const tally = await replayBatches(batches, work, options.workers, async (walked) => {
    problems.add(walked.problems)
    if (options.rejected !== undefined) rejected.push(...walked.rejected)
    seen += walked.cases
    await writeTo(process.stdout, walked.text)
    progress.show(progressText(seen, caseFile.progress()))
  })
  progress.clear()
  const report = tally.report()
  print(report, problems, format, options.csv, casesFile)
  if (options.lines && compiled) out(lineUsesText(compiled, report, hasColor(process.stdout)))
  writeAside(page, () => reportPage(report))
  if (rejected.length > 0)
    writeAside(aside, () => csvText([[...(caseFile.header ?? []), "problem"], ...rejected]))
  return problems.exit
}

function print(
  report: Report,
  problems: CaseProblems,
  format: Format,
  csv: true | undefined,
  casesFile: string,
): void {
  if (format === "json") {
    outJson({ report, findings: problems.diagnostics })
    return
  }
  if (format === "text") {
    problems.say()
    if (!csv) out(plain(renderReport(report)))
    return
  }
  const { diagnostics, sources } = problems.located()
  printForTools(format, diagnostics, sources, () => [suiteOfProblems(casesFile, diagnostics, sources)])
}

/** Runs what `ship --to sql` writes. Findings count as recorded: nothing is inferred, and the order of steps is unknown. */
async function bySql(
  graph: Graph,
  file: string,
  { format, json, html, lines, rejected }: Options,
): Promise<Exit> {
  if (json || format !== undefined || html !== undefined || lines || rejected !== undefined)
    throw new UserError("--sql only prints how each case ended.")
  checkReadable(file)
  let exit: Exit = 0
  const { bad } = style(hasColor(process.stderr))
  const say = (problem: string) => {
    exit = 2
    err(`${bad("error:")} ${plain(problem)}\n`)
  }
  for await (const rows of replayBySql(graph, file, say)) await writeTo(process.stdout, csvText(rows))
  return exit
}

/** Before the work, so that a name that can't be used is said before it. */
function outputsOf({ html, rejected, force }: Options) {
  return {
    page: html === undefined ? undefined : new Output(html, { kind: "export", force }),
    aside: rejected === undefined ? undefined : new Output(rejected, { kind: "table", force }),
  }
}

function writeAside(file: Output | undefined, text: () => string): void {
  if (file === undefined) return
  file.write(text())
  err(`Written to ${plain(file.path)}\n`)
}

/** `--lines` needs the ruleset's text; a graph doesn't have it. */
async function openGraph(
  file: string,
  options: Options,
): Promise<{ graph: Graph | undefined; compiled?: Compiled }> {
  if (!options.lines) return { graph: await loadGraph(file, planOptions(options), options) }
  if (options.key !== undefined) throw new UserError("--lines takes a ruleset, and only graphs are signed.")
  if (formatOf(options) !== "text" || options.csv)
    throw new UserError("--lines prints text: leave out --json, --format and --csv.")
  if (/\.json$/i.test(file))
    throw new UserError(`${displayName(file)} is a graph, which has no lines.`, "Name the ruleset instead.")
  const compiled = compileFile(file, planOptions(options))
  printDiagnostics(
    compiled.diagnostics.filter(({ severity }) => severity === "error"),
    compiled.sources,
  )
  if (compiled.graph) checkVersion(file, compiled.graph, options)
  return { graph: compiled.graph, compiled }
}
