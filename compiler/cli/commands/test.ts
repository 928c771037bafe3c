import type { Command } from "commander"
import { indexGraph } from "../../cases/replay/graph-index.ts"
import { type Coverage, coverage } from "../../cases/scenarios/coverage.ts"
import { type Played, playAll } from "../../cases/scenarios/play.ts"
import type { Compiled } from "../../compile.ts"
import { type Diagnostic, diagnostic, type Span } from "../../diagnostics/diagnostic.ts"
import { lineAndColumn } from "../../diagnostics/line-index.ts"
import type { Graph } from "../../run/graph.ts"
import { at } from "../../run/lookup.ts"
import { countOf, grouped } from "../../wording/figures.ts"
import { listed, listedNames } from "../../wording/sentence.ts"
import { compileFile } from "../io/compile-file.ts"
import { displayName } from "../io/files.ts"
import { addFormatFlag, type Format, type FormatFlags, formatOf } from "../io/format-flag.ts"
import type { JunitSuite } from "../io/junit-text.ts"
import { addPlanFlags, type PlanFlags, planOptions } from "../io/plan-flags.ts"
import { printDiagnostics } from "../io/print-diagnostics.ts"
import { printForTools } from "../io/print-format.ts"
import { hasColor, out, outJson, plain, style } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"
import { addWatchFlag, runWatched, type WatchFlags } from "../io/watch-flag.ts"

const HELP = `
Exit code 0 if all is as expected, 1 if not, 2 if a ruleset has an error or no scenario.

Examples:
  $ ruleout test kiosk.ruleout
  $ ruleout test kiosk.ruleout --watch      again whenever a file changes
  $ ruleout test shop/*.ruleout --format junit > results.xml`

interface Options extends PlanFlags, FormatFlags, WatchFlags {}

export function addTest(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("test")
    .summary("play the scenarios of a ruleset")
    .description(
      "Compiles each ruleset, plays its scenarios, and reports what isn't as expected and what no scenario covers.",
    )
    .argument("<file...>", "rulesets, - for standard input")
  addWatchFlag(addFormatFlag(addPlanFlags(command)))
    .option("--json", "print the results as JSON")
    .addHelpText("after", HELP)
    .action(async (files: string[], options: Options) =>
      done(await runWatched(files, options, () => test(files, options))),
    )
}

interface Tested {
  readonly file: string
  readonly compiled: Compiled
  readonly graph: Graph
  readonly played: readonly Played[]
  readonly coverage: Coverage
}

function test(files: readonly string[], options: Options): Exit {
  const format = formatOf(options)
  const tested = files.map((file) => testFile(file, options))
  const sound = tested.filter((each) => each !== undefined)
  report(sound, format)
  if (sound.length < tested.length) return 2
  return sound.some(({ played }) => played.some(({ failures }) => failures.length > 0)) ? 1 : 0
}

function report(tested: readonly Tested[], format: Format): void {
  const diagnostics = tested.flatMap(diagnosticsOf)
  const sources = new Map(tested.flatMap(({ compiled }) => [...compiled.sources]))
  if (printForTools(format, diagnostics, sources, () => tested.map(suiteOf))) return
  if (format === "json") outJson({ rulesets: tested.map(asJson) })
  else for (const each of tested) out(resultText(each))
}

function diagnosticsOf({ played }: Tested): Diagnostic[] {
  return played.flatMap(({ failures }) =>
    failures.map(({ span, message }) => diagnostic("error", "not-as-expected", span, message)),
  )
}

/** Each scenario is a test. */
function suiteOf({ file, compiled, played }: Tested): JunitSuite {
  const cases = played.map(({ scenario, failures }) => ({
    name: scenario.text,
    file: scenario.span.file,
    line: placeOf(compiled, scenario.span).line,
    failures: failures.map(({ span, message }) => ({
      type: "not-as-expected",
      message,
      text: placeText(compiled, span),
    })),
  }))
  return { name: file, cases }
}

/** Undefined where the ruleset has an error, which is printed. */
function testFile(file: string, options: Options): Tested | undefined {
  const compiled = compileFile(file, planOptions(options))
  const { graph, scenarios, diagnostics, sources } = compiled
  const errors = diagnostics.filter(({ severity }) => severity === "error")
  if (graph === undefined || errors.length > 0) {
    printDiagnostics(errors, sources)
    return undefined
  }
  if (scenarios.length === 0)
    throw new UserError(
      `${displayName(file)} has no scenario.`,
      'Add one: `scenario "text"`, then what is found and done, and what it expects.',
    )
  const played = playAll(graph, scenarios)
  const logs = played.map(({ log }) => log)
  return { file, compiled, graph, played, coverage: coverage(indexGraph(graph), logs) }
}

function resultText({ file, compiled, graph, played, coverage }: Tested): string {
  const { good, bad, bold } = style(hasColor(process.stdout))
  const failed = played.filter(({ failures }) => failures.length > 0)
  const passed = played.length - failed.length
  const lines = played.flatMap(({ scenario, failures }) => [
    `  ${failures.length === 0 ? good("as expected") : bad("not as expected")}  ${plain(scenario.text)}`,
    ...failures.map(({ span, message }) => `    ${placeText(compiled, span)}  ${plain(message)}`),
  ])
  return `${[
    bold(plain(file)),
    ...lines,
    `${countOf(played.length, "scenario")}, ${grouped(passed)} as expected`,
    ...coverageLines(graph, coverage),
  ].join("\n")}\n`
}

function placeText(compiled: Compiled, span: Span): string {
  const { line, column } = placeOf(compiled, span)
  return plain(`${span.file}:${line}:${column}`)
}

function coverageLines(graph: Graph, { rules, branches }: Coverage): string[] {
  const count = (marks: readonly boolean[]) => marks.filter((is) => is).length
  const missed = graph.rules.filter((_, i) => !rules[i])
  const [named, others] = [missed.flatMap(({ name }) => name ?? []), missed.filter(({ name }) => !name)]
  const lines = others.map(({ line }) => grouped(line))
  const which = [
    ...(named.length > 0 ? [listedNames(named)] : []),
    ...(lines.length > 0 ? [`${lines.length === 1 ? "in line" : "in lines"} ${listed(lines)}`] : []),
  ].join(", and ")
  return [
    ...(rules.length === 0
      ? []
      : [`rules met: ${count(rules)} of ${rules.length}${which === "" ? "" : `; not those ${which}`}`]),
    `branches of the graph taken: ${grouped(count(branches))} of ${grouped(branches.length)}`,
  ]
}

function asJson({ file, compiled, graph, played, coverage: { rules, branches } }: Tested) {
  return {
    file,
    scenarios: played.map(({ scenario, failures, log }) => ({
      text: scenario.text,
      span: scenario.span,
      failures: failures.map((each) => ({ ...each, ...placeOf(compiled, each.span) })),
      log,
    })),
    rules: graph.rules.map(({ name, line }, i) => ({ ...(name ? { name } : {}), line, met: at(rules, i) })),
    branches: { taken: branches.filter((is) => is).length, all: branches.length },
  }
}

function placeOf({ sources }: Compiled, { file, start }: Span) {
  return lineAndColumn(sources.get(file) ?? "", start)
}
