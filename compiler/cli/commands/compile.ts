import { existsSync } from "node:fs"
import type { Command } from "commander"
import { type Graph, graphText } from "../../compile.ts"
import { fixedMoney, fixedPercent, grouped } from "../../wording/figures.ts"
import { compileFile } from "../io/compile-file.ts"
import { displayName, readIfThere, writeFile } from "../io/files.ts"
import { addPlanFlags, type PlanFlags, planOptions } from "../io/plan-flags.ts"
import { countDiagnostics, printDiagnostics } from "../io/print-diagnostics.ts"
import { err, hasColor, out, outJson, plain, style } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"
import { stepsOf, stepsText, supposed, supposedText } from "./explain-text.ts"

const help = `
Without --out the graph goes to NAME.graph.json in the current folder, where NAME is the ruleset's name. Only a graph of
the same ruleset is overwritten. The same ruleset and options always give the same bytes.

Examples:
  $ ruleout compile kiosk.ruleout
  $ ruleout compile kiosk.ruleout --gap 5%          good enough: at most 5 % above the least cost
  $ ruleout compile kiosk.ruleout --explain         why each step comes where it does
  $ ruleout compile kiosk.ruleout --what-if "part panel price 90" --what-if "test meter_rail takes 2 min"
  $ ruleout compile - --out - < kiosk.ruleout | gzip > kiosk.graph.json.gz`

interface Options extends PlanFlags {
  readonly out?: string
  readonly force?: true
  readonly json?: true
  readonly explain?: true
  readonly whatIf?: readonly string[]
}

export function addCompile(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("compile")
    .summary("find the cheapest plan and write it as a graph")
    .description(
      "Finds the plan that costs least per job, and writes it as a graph that any shop tool can run.",
    )
    .argument("<file>", "a ruleset, - for standard input")
    .option("-o, --out <file>", "where the graph goes, - for standard output")
  addPlanFlags(command)
    .option("--force", "overwrite any file")
    .option("--explain", "explain why each step comes before the next best one")
    .option(
      "--what-if <words>",
      "what a job would cost with one declaration changed; may be given several times",
      (words: string, before: readonly string[] = []) => [...before, words],
    )
    .option("--json", "print the figures as JSON")
    .addHelpText("after", help)
    .action((file: string, options: Options) => done(compile(file, options)))
}

function compile(file: string, options: Options): Exit {
  const compiled = compileFile(file, planOptions(options))
  const { diagnostics, sources, graph } = compiled
  const toOutput = options.out === "-"
  if (options.json && toOutput)
    throw new UserError(
      "The figures and the graph can't both go to standard output.",
      "Name a file with --out.",
    )
  if (!options.json) printDiagnostics(diagnostics, sources)
  if (graph === undefined) {
    if (options.json) outJson({ findings: diagnostics, ...countDiagnostics(diagnostics) })
    else err(`${plain(displayName(file))} isn't compiled: fix the errors first.\n`)
    return 2
  }
  const target = options.out ?? `${graph.ruleset.name}.graph.json`
  const text = graphText(graph)
  if (toOutput) out(text)
  else {
    if (!options.force) guard(target, graph.ruleset.name)
    writeFile(target, text)
  }
  const bytes = Buffer.byteLength(text)
  const steps = options.explain ? stepsOf(compiled) : undefined
  const whatIf = options.whatIf ? supposed(compiled, options.whatIf, planOptions(options)) : undefined
  if (options.json) {
    outJson({
      file: target,
      ...figures(graph, bytes),
      steps,
      whatIf,
      findings: diagnostics,
      ...countDiagnostics(diagnostics),
    })
    return 0
  }
  const say = toOutput ? err : out
  const color = hasColor(toOutput ? process.stderr : process.stdout)
  say(figuresText(graph, bytes, toOutput ? undefined : target))
  if (steps) say(`\n${stepsText(steps, color)}`)
  if (whatIf) say(`\n${supposedText(whatIf, graph.money, graph.proof.exact, color)}`)
  return 0
}

/** Only a graph of the same ruleset is overwritten. */
function guard(target: string, name: string): void {
  if (!existsSync(target)) return
  let there: { format?: unknown; ruleset?: { name?: unknown } } | undefined
  try {
    there = JSON.parse(readIfThere(target)) as typeof there
  } catch (error) {
    if (error instanceof UserError) throw error
  }
  const what =
    there?.format === "ruleout-graph/1" ? `a graph of \`${String(there.ruleset?.name)}\`` : "not a graph"
  if (there?.format !== "ruleout-graph/1" || there.ruleset?.name !== name)
    throw new UserError(
      `${displayName(target)} exists already and is ${what}.`,
      "Name another file with --out, or add --force to overwrite it.",
    )
}

function figures({ ruleset, money, expected, proof, nodes }: Graph, bytes: number) {
  const gap = expected.total > 0 ? (expected.total - proof.lower) / expected.total : 0
  return {
    ruleset,
    money,
    expected,
    proof: { ...proof, gap: proof.exact ? 0 : gap },
    nodes: nodes.length,
    bytes,
  }
}

function figuresText(graph: Graph, bytes: number, target: string | undefined): string {
  const { bold, good, warn } = style(hasColor(target === undefined ? process.stderr : process.stdout))
  const { expected, proof, ruleset, money, nodes } = figures(graph, bytes)
  const rows: [string, string][] = [
    ["expected cost", fixedMoney(expected.total, money)],
    ["  of that tests", fixedMoney(expected.tests, money)],
    ["minutes", expected.minutes.toFixed(1)],
    ["steps", expected.steps.toFixed(1)],
    ["wrong verdict", fixedPercent(expected.wrong)],
    ["handed over", fixedPercent(expected.handover)],
    ["nodes", grouped(nodes)],
    ["size", `${grouped(bytes)} bytes`],
  ]
  const width = Math.max(...rows.map(([, value]) => value.length))
  const best = proof.exact
    ? good("Proved: no plan costs less.")
    : warn(
        `Not proved optimal: no plan costs less than ${fixedMoney(proof.lower, money)} (gap ${fixedPercent(proof.gap)}). More --effort narrows the gap.`,
      )
  return [
    bold(`${ruleset.title} (${ruleset.name} ${ruleset.version}), per job:`),
    ...rows.map(([name, value]) => `  ${name.padEnd(16)}${value.padStart(width)}`),
    best,
    ...(target === undefined ? [] : [`Written to ${plain(target)}`]),
    "",
  ].join("\n")
}
