import { type Command, InvalidArgumentError } from "commander"
import { outcomeHeader } from "../../cases/report/outcome-row.ts"
import { reportPage } from "../../cases/report/render-html.ts"
import { renderReport } from "../../cases/report/render-text.ts"
import { sheetOf } from "../../cases/table/read-row.ts"
import type { Compiled } from "../../compile.ts"
import type { Graph } from "../../run/graph.ts"
import { RemarkList } from "../io/case-diagnostics.ts"
import { openRecords } from "../io/case-files.ts"
import { replayBySql } from "../io/duckdb.ts"
import { checkReadable, nameOf, writeWhole } from "../io/files.ts"
import { type Effort, effortOf, effortOptions, graphOf, planned } from "../io/inputs.ts"
import { progressText } from "../io/progress.ts"
import { csvText } from "../io/replay-task.ts"
import { sayFindings } from "../io/report-diagnostics.ts"
import { err, hasColor, out, outJson, ProgressLine, plain } from "../io/terminal.ts"
import { type Exit, Trouble } from "../io/user-error.ts"
import { walkAll, writeTo } from "../io/worker-pool.ts"
import { coverageText } from "./line-uses-text.ts"

const help = `
CASES are lines of JSON, or a table with one column per reading and test where the name ends in .csv or .tsv; see
ruleout import for what a table's columns are taken for. A line that cannot be read is said and left out, with
exit code 2, and so is a row with a bad cell, with exit code 1. Files may be larger than memory.

Examples:
  $ ruleout replay kiosk.ruleout kiosk.cases.jsonl
  $ ruleout replay kiosk.ruleout kiosk.cases.jsonl --html report.html --lines
  $ ruleout replay kiosk_dark.graph.json - --json < kiosk.cases.jsonl
  $ ruleout replay kiosk_dark.graph.json year.csv --workers 4 --csv > ends.csv
  $ ruleout replay kiosk_dark.graph.json chain.parquet --sql > ends.csv`

interface Options extends Effort {
  readonly json?: true
  readonly csv?: true
  readonly html?: string
  readonly lines?: true
  readonly table?: true
  readonly sql?: true
  readonly workers: number
  readonly rejected?: string
}

export function addReplay(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("replay")
    .summary("hold recorded cases against a graph")
    .description(
      "Walks recorded cases through the graph, and says where it was right, what it cost, and what no case used.",
    )
    .argument("<graph>", "a compiled graph or a ruleset, - for standard input")
    .argument("<cases>", "recorded cases: lines of JSON, or a table; - for standard input")
  effortOptions(command)
    .option("--json", "print the report as JSON")
    .option("--csv", "print how each case ended, as CSV")
    .option("--html <file>", "write the report as a page with plots")
    .option("--lines", "print the ruleset with counts beside its rules, faults and tests")
    .option("--table", "the cases are a table, whatever the name ends in")
    .option("--sql", "walk by SQL on DuckDB (.parquet, .csv, .jsonl) and print how each case ended")
    .option("--rejected <file>", "write rows with bad cells to this file")
    .option("--workers <n>", "threads that walk cases", threads, 1)
    .addHelpText("after", help)
    .action(async (graph: string, cases: string, options: Options) =>
      done(await replay(graph, cases, options)),
    )
}

function threads(text: string): number {
  const n = Number(text)
  if (Number.isSafeInteger(n) && n >= 1 && n <= 64) return n
  throw new InvalidArgumentError("It is a whole number from 1 to 64.")
}

async function replay(graphFile: string, casesFile: string, options: Options): Promise<Exit> {
  if (graphFile === "-" && casesFile === "-") throw new Trouble("Only one of the two can be standard input.")
  if (options.json && options.csv) throw new Trouble("Ask for --json or --csv, not both.")
  const { graph, compiled } = openGraph(graphFile, options)
  if (graph === undefined) return 2
  if (options.sql) return bySql(graph, casesFile, options)
  const records = await openRecords(casesFile, options.table)
  const source = { file: casesFile, ...(records.header ? { sheet: sheetOf(records.header, graph) } : {}) }
  const remarks = new RemarkList()
  const rejected: (readonly string[])[] = []
  const progress = new ProgressLine()
  let seen = 0
  if (options.csv) await writeTo(process.stdout, csvText([[...outcomeHeader]]))
  const work = { graph, source, rows: options.csv === true }
  const tally = await walkAll(records.batches, work, options.workers, async (walked) => {
    remarks.add(walked.remarks)
    if (options.rejected !== undefined) rejected.push(...walked.rejected)
    seen += walked.cases
    await writeTo(process.stdout, walked.text)
    progress.show(progressText(seen, records.progress()))
  })
  progress.clear()
  const report = tally.report()
  if (options.json) outJson({ report, findings: remarks.diagnostics })
  else {
    remarks.say()
    if (!options.csv) out(plain(renderReport(report)))
  }
  if (options.lines && compiled) out(coverageText(compiled, report, hasColor(process.stdout)))
  if (options.html !== undefined) writeAside(options.html, reportPage(report))
  if (options.rejected !== undefined && rejected.length > 0)
    writeAside(options.rejected, csvText([[...(records.header ?? []), "problem"], ...rejected]))
  return remarks.exit
}

/** What ship --to sql writes, run here. Findings count as recorded: nothing is inferred, and no order of steps is known. */
async function bySql(graph: Graph, file: string, { json, html, lines, rejected }: Options): Promise<Exit> {
  if (json || html !== undefined || lines || rejected !== undefined)
    throw new Trouble("--sql prints how each case ended, and nothing besides.")
  checkReadable(file)
  for await (const rows of replayBySql(graph, file)) await writeTo(process.stdout, csvText(rows))
  return 0
}

function writeAside(file: string, text: string): void {
  writeWhole(file, text)
  err(`Written to ${plain(file)}\n`)
}

/** With `--lines` the ruleset itself is needed, and not only what it was compiled to. */
function openGraph(file: string, options: Options): { graph: Graph | undefined; compiled?: Compiled } {
  if (!options.lines) return { graph: graphOf(file, effortOf(options)) }
  if (options.json || options.csv) throw new Trouble("--lines is for reading: leave --json and --csv out.")
  if (/\.json$/i.test(file))
    throw new Trouble(`${nameOf(file)} is a graph, which has no lines.`, "Name the ruleset instead.")
  const compiled = planned(file, effortOf(options))
  sayFindings(
    compiled.diagnostics.filter(({ severity }) => severity === "error"),
    compiled.sources,
  )
  return { graph: compiled.graph, compiled }
}
