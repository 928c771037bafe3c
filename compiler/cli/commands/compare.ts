import type { Command } from "commander"
import { type Comparison, ComparisonTally, isOfNothing } from "../../cases/compare/compare.ts"
import { criteria, renderComparison } from "../../cases/compare/render-text.ts"
import { entriesOf } from "../../cases/table/batch.ts"
import { columnMapping } from "../../cases/table/read-row.ts"
import { type Diagnostic, diagnostic } from "../../diagnostics/diagnostic.ts"
import type { Graph } from "../../run/graph.ts"
import { openCaseFile } from "../io/case-files.ts"
import { CaseProblems, problemsOf } from "../io/case-problems.ts"
import { addFormatFlag, type Format, type FormatFlags, formatOf } from "../io/format-flag.ts"
import type { JunitSuite } from "../io/junit-text.ts"
import { latestDay } from "../io/latest-day.ts"
import { loadGraph } from "../io/load-graph.ts"
import { addPlanFlags, type PlanFlags, planOptions } from "../io/plan-flags.ts"
import { printForTools, suiteOfProblems } from "../io/print-format.ts"
import { progressText } from "../io/progress.ts"
import { singleCases } from "../io/single-cases.ts"
import { out, outJson, ProgressLine, plain } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"

const HELP = `
All cases with a confirmed fault are compared. Where a ruleset asks for what the record does not have, the case is carried
on over all outcomes, each with the chance that this ruleset gives it. Exit code 1 if the new one is worse beyond chance:
fewer cases end well, more machines come back or more cases buy a part in vain (exact McNemar test, 5 %), or a case costs
more (95 % interval of the mean difference). Exit code 2 if nothing could be compared. Otherwise 0, so that a release can
depend on it.

Examples:
  $ ruleout compare kiosk-old.ruleout kiosk.ruleout kiosk.cases.jsonl
  $ ruleout compare released.graph.json kiosk.ruleout kiosk.cases.csv --json`

interface Options extends PlanFlags, Pick<FormatFlags, "format" | "json"> {}

export function addCompare(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("compare")
    .summary("compare two rulesets on the same cases")
    .description(
      "Replays the same recorded cases through two rulesets or graphs, and reports what the new one changes.",
    )
    .argument("<old>", "a compiled graph or a ruleset")
    .argument("<new>", "a compiled graph or a ruleset")
    .argument("<cases>", "recorded cases: lines of JSON, or a table (.csv, .tsv); - for standard input")
  addFormatFlag(addPlanFlags(command))
    .option("--json", "print the comparison as JSON")
    .addHelpText("after", HELP)
    .action(async (old: string, fresh: string, cases: string, options: Options) =>
      done(await compare(old, fresh, cases, options)),
    )
}

async function compare(oldFile: string, freshFile: string, cases: string, options: Options): Promise<Exit> {
  if ([oldFile, freshFile, cases].filter((file) => file === "-").length > 1)
    throw new UserError("Only one of the three can be standard input.")
  const format = formatOf(options)
  const old = await loadGraph(oldFile, planOptions(options))
  const fresh = await loadGraph(freshFile, planOptions(options))
  if (old === undefined || fresh === undefined) return 2
  sameMoney(old, fresh)
  const contest = new ComparisonTally(old, fresh)
  const { graphs } = contest
  const caseFile = await openCaseFile(cases)
  const mapping = (graph: Graph) =>
    caseFile.header ? { mapping: columnMapping(caseFile.header, graph) } : {}
  const sources = {
    old: { file: cases, ...mapping(graphs.old) },
    fresh: { file: cases, today: latestDay(), ...mapping(graphs.fresh) },
  }
  const problems = new CaseProblems()
  const progress = new ProgressLine()
  let seen = 0
  for await (const batch of singleCases(caseFile.batches, sources.fresh, (each) => problems.add([each]))) {
    // The cases are for the new one: what only the old one doesn't know isn't reported.
    const before = entriesOf(batch, graphs.old, sources.old)
    for (const entry of entriesOf(batch, graphs.fresh, sources.fresh)) {
      const was: { case?: (typeof entry)["case"] } = before.next().value ?? {}
      problems.add(problemsOf(entry))
      if (entry.case && was.case) contest.add(was.case, entry.case)
      seen++
    }
    progress.show(progressText(seen, caseFile.progress()))
  }
  progress.clear()
  const comparison = contest.result()
  print(comparison, problems, format, { fresh: freshFile, cases })
  // Nothing compared is no reason to let a release pass.
  if (isOfNothing(comparison)) return 2
  return comparison.judgement.is === "worse" ? 1 : 0
}

function print(
  comparison: Comparison,
  problems: CaseProblems,
  format: Format,
  files: { readonly fresh: string; readonly cases: string },
): void {
  if (format === "json") {
    outJson({ comparison, findings: problems.diagnostics })
    return
  }
  if (format === "text") {
    problems.say()
    out(plain(renderComparison(comparison)))
    return
  }
  const { diagnostics, sources } = problems.located()
  const suites = () => [suiteOf(comparison, files.fresh), suiteOfProblems(files.cases, diagnostics, sources)]
  const all = [...worsened(comparison, files.fresh), ...diagnostics]
  printForTools(format, all, sources, suites)
}

const WORSE = "worse-than-before"

/** What is worse beyond chance, as problems of the new ruleset. */
function worsened({ judgement }: Comparison, file: string): Diagnostic[] {
  const span = { file, start: 0, end: 0 }
  return judgement.worse.map((ground) =>
    diagnostic("error", WORSE, span, `Worse beyond chance: ${criteria[ground].worse}.`),
  )
}

/** Each ground of the judgement is a test; so is that there was anything to compare. */
function suiteOf(comparison: Comparison, file: string): JunitSuite {
  const { judgement } = comparison
  const failed = (message: string) => [{ type: WORSE, message, text: "" }]
  const test = (name: string, failures: ReturnType<typeof failed>) => ({ name, file, line: 1, failures })
  const nothing = "No case has a confirmed fault and is followed under both."
  return {
    name: file,
    cases: [
      test("cases to compare", isOfNothing(comparison) ? failed(nothing) : []),
      ...(["right", "comesBack", "inVain", "total"] as const).map((ground) =>
        test(
          `not: ${criteria[ground].worse}`,
          judgement.worse.includes(ground) ? failed(`Worse beyond chance: ${criteria[ground].worse}.`) : [],
        ),
      ),
    ],
  }
}

function sameMoney(old: Graph, fresh: Graph): void {
  if (old.money === fresh.money) return
  throw new UserError(
    `The old ruleset is in ${old.money} and the new one in ${fresh.money}: their costs can't be compared.`,
    "Give both the same currency.",
  )
}
