import type { Command } from "commander"
import { graphWithoutPlan } from "../../cases/fit/fit.ts"
import { table } from "../../cases/report/text-table.ts"
import { entriesOf, type Source } from "../../cases/table/batch.ts"
import { roleText } from "../../cases/table/columns.ts"
import { type ColumnMapping, columnMapping, rowLine } from "../../cases/table/read-row.ts"
import type { Graph } from "../../run/graph.ts"
import { countOf, grouped } from "../../wording/figures.ts"
import { type CaseFile, openCaseFile } from "../io/case-files.ts"
import { CaseProblems, problemsOf } from "../io/case-problems.ts"
import { analyseFile } from "../io/compile-file.ts"
import { csvText } from "../io/csv.ts"
import { displayName, writeTo } from "../io/files.ts"
import { latestDay } from "../io/latest-day.ts"
import { loadGraph } from "../io/load-graph.ts"
import { Output } from "../io/output.ts"
import { printDiagnostics } from "../io/print-diagnostics.ts"
import { progressText } from "../io/progress.ts"
import { singleCases } from "../io/single-cases.ts"
import { err, hasColor, out, ProgressLine, plain, style } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"

const HELP = `
The first row names the columns: a reading or told question by its name or its text, with a unit if it differs from the
ruleset's, like \`rail (mV)\`; a test that swaps, redoes or removes by its name, with gone or stays in the cells, and so
\`put back PART\`, \`replace PART\` and \`fix FAULT\`; \`close\` with holds or fails; \`minutes TEST\`; and id, date, fault,
confirmed, came_back. The handbook has them all: ruleout help jobs-in-a-table. Empty cells and ? mean that nothing was found.
Without --out
nothing is written: the command shows how it reads the columns, and the first rows.

Examples:
  $ ruleout import kiosk.ruleout year.csv
  $ ruleout import kiosk.ruleout year.csv --out kiosk.cases.jsonl --rejected to-fix.csv`

interface Options {
  readonly out?: string
  readonly rejected?: string
  readonly force?: true
}

export function addImport(program: Command, done: (exit: Exit) => void): void {
  program
    .command("import")
    .summary("turn a table of jobs into recorded cases")
    .description("Reads a table with one row per job (CSV, TSV) as recorded cases for a ruleset.")
    .argument("<ruleset>", "a ruleset or a compiled graph")
    .argument("<table>", "the table, - for standard input")
    .option("-o, --out <file>", "write the cases to this file, - for standard output")
    .option("--rejected <file>", "write rows with bad cells to this file, with the problem of each")
    .option("--force", "overwrite files that exist")
    .addHelpText("after", HELP)
    .action(async (ruleset: string, file: string, options: Options) =>
      done(await importTable(ruleset, file, options)),
    )
}

async function importTable(ruleset: string, file: string, options: Options): Promise<Exit> {
  const { cases, aside } = outputsOf(options)
  const graph = await toReadWith(ruleset)
  if (graph === undefined) return 2
  const caseFile = await openCaseFile(file, true)
  const mapping = columnMapping(caseFile.header ?? [], graph)
  const columns = columnsText(mapping, graph)
  const read = await readRows(caseFile, { file, mapping, today: latestDay() }, graph, cases)
  const { problems, rejected, good } = read
  ;(options.out === undefined ? out : err)(plain(columns))
  if (options.out === undefined && read.first.length > 0)
    out(plain(`\nThe first rows as cases:\n${read.first.map((line) => `  ${short(line, 1000)}\n`).join("")}`))
  problems.say()
  const said = style(hasColor(process.stderr))
  err(
    `${said.bold(`${countOf(good, "row")} good, ${grouped(rejected.length)} rejected`)}${options.out === undefined ? "; name a file with --out to write them" : ""}.\n`,
  )
  if (rejected.length > 0) aside?.write(csvText([[...(caseFile.header ?? []), "problem"], ...rejected]))
  return problems.exit
}

/** Before the work, so that a name that can't be used is said before it. */
function outputsOf({ out: cases, rejected, force }: Options) {
  const named = cases === undefined || cases === "-" ? undefined : new Output(cases, { kind: "cases", force })
  const aside = rejected === undefined ? undefined : new Output(rejected, { kind: "table", force })
  return { cases: cases === "-" ? toStandardOutput : named, aside }
}

const toStandardOutput = {
  begin: () => ({
    write: (text: string) => writeTo(process.stdout, text),
    commit: () => {},
    discard: () => {},
  }),
}

/** Writes the good rows as they come; what is written takes its name when all have. */
async function readRows(
  { batches, progress: share }: CaseFile,
  source: Source & { readonly mapping: ColumnMapping },
  graph: Graph,
  cases: Pick<Output, "begin"> | typeof toStandardOutput | undefined,
) {
  const problems = new CaseProblems()
  const rejected: (readonly string[])[] = []
  const first: string[] = []
  const progress = new ProgressLine()
  let target: { write(text: string): void | Promise<void>; commit(): void; discard(): void } | undefined
  let good = 0
  try {
    for await (const batch of singleCases(batches, source, (each) => problems.add([each]))) {
      // Only now, when the table is known to be read, so that it can't be written over.
      target ??= cases?.begin()
      let lines = ""
      for (const entry of entriesOf(batch, graph, source)) {
        problems.add(problemsOf(entry))
        if (typeof entry.source === "string") continue
        if (entry.rejected)
          rejected.push([...entry.source, entry.diagnostics.map(({ message }) => message).join(" ")])
        if (!entry.case) continue
        good++
        const line = rowLine(source.mapping, entry.source, entry.case.line, graph)
        if (first.length < 3) first.push(line)
        lines += `${line}\n`
      }
      await target?.write(lines)
      progress.show(progressText(good, share()))
    }
    target ??= cases?.begin()
    target?.commit()
  } finally {
    target?.discard()
    progress.clear()
  }
  return { problems, rejected, first, good }
}

/** A graph without a plan: enough to read cases. */
async function toReadWith(file: string): Promise<Graph | undefined> {
  if (file === "-") throw new UserError("The ruleset must be a file here.")
  if (/\.json$/i.test(file)) return loadGraph(file, {})
  const { model, diagnostics, sources } = analyseFile(file)
  if (model) return graphWithoutPlan(model)
  printDiagnostics(
    diagnostics.filter(({ severity }) => severity === "error"),
    sources,
  )
  err(`${plain(displayName(file))} can't be used: fix the errors first.\n`)
  return undefined
}

const short = (text: string, most: number) => (text.length > most ? `${text.slice(0, most)}…` : text)

function columnsText({ columns }: ColumnMapping, graph: Graph): string {
  const rows = columns.map((column) => [
    `  ${column.letter}`,
    short(column.header, 60),
    roleText(column, graph),
  ])
  return `${table([["  column", "header", "read as"], ...rows]).join("\n")}\n`
}
