import { existsSync } from "node:fs"
import type { Command } from "commander"
import { graphText } from "../../compile.ts"
import { compileFile } from "../io/compile-file.ts"
import { displayName, readIfThere, writeFile } from "../io/files.ts"
import { addPlanFlags, type PlanFlags, planOptions } from "../io/plan-flags.ts"
import { countDiagnostics, printDiagnostics } from "../io/print-diagnostics.ts"
import { err, hasColor, out, outJson, plain, style } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"
import { explainedSteps, explainedText } from "./explain-text.ts"
import { planFigures, planFiguresText } from "./plan-figures.ts"
import { supposed, supposedText } from "./what-if-text.ts"

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
  const steps = options.explain ? explainedSteps(compiled) : undefined
  const whatIf = options.whatIf ? supposed(compiled, options.whatIf, planOptions(options)) : undefined
  if (options.json) {
    outJson({
      file: target,
      ...planFigures(graph, bytes),
      steps,
      whatIf,
      findings: diagnostics,
      ...countDiagnostics(diagnostics),
    })
    return 0
  }
  const say = toOutput ? err : out
  const color = hasColor(toOutput ? process.stderr : process.stdout)
  say(planFiguresText(planFigures(graph, bytes), toOutput ? undefined : target, style(color)))
  if (steps) say(`\n${explainedText(steps, color)}`)
  if (whatIf) say(`\n${supposedText(whatIf, compiled, color)}`)
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
  // An older graph of the same ruleset makes way for the new one.
  const isGraph = /^ruleout-graph\/\d+$/.test(String(there?.format))
  const what = isGraph ? `a graph of \`${String(there?.ruleset?.name)}\`` : "not a graph"
  if (!isGraph || there?.ruleset?.name !== name)
    throw new UserError(
      `${displayName(target)} exists already and is ${what}.`,
      "Name another file with --out, or add --force to overwrite it.",
    )
}
