import { type Command, InvalidArgumentError } from "commander"
import { graphText } from "../../compile.ts"
import { compileFile } from "../io/compile-file.ts"
import { displayName } from "../io/files.ts"
import { Output } from "../io/output.ts"
import { picturesOfRuleset, sayLeftOut, writePictures } from "../io/picture-files.ts"
import { addPlanFlags, type PlanFlags, planOptions } from "../io/plan-flags.ts"
import { countDiagnostics, printDiagnostics } from "../io/print-diagnostics.ts"
import { err, hasColor, out, outJson, plain, style } from "../io/terminal.ts"
import { addTextsFlag, type TextsFlags, textsOption } from "../io/texts-flag.ts"
import { type Exit, UserError } from "../io/user-error.ts"
import { addWatchFlag, runWatched, type WatchFlags } from "../io/watch-flag.ts"
import { explainedSteps, explainedText } from "./explain-text.ts"
import { planFigures, planFiguresText } from "./plan-figures.ts"
import { supposed, supposedText } from "./what-if-text.ts"
import { playedWorlds, USUAL_JOBS, worldsText } from "./worlds-text.ts"

const HELP = `
Without --out the graph goes to NAME.graph.json in the current folder, where NAME is the ruleset's name. Only a graph of
the same ruleset is overwritten. Pictures go into the folder pictures beside it. The same ruleset and options always give the same bytes.

Examples:
  $ ruleout compile kiosk.ruleout
  $ ruleout compile kiosk.ruleout --gap 5%          good enough: at most 5 % above the least cost
  $ ruleout compile kiosk.ruleout --explain         why each step comes where it does
  $ ruleout compile kiosk.ruleout --what-if "part panel price 90" --what-if "test meter_rail takes 2 min"
  $ ruleout compile kiosk.ruleout --texts kiosk.de.ruleout     and its texts in German
  $ ruleout compile kiosk.ruleout --worlds          how jobs end if the ruleset is wrong
  $ ruleout compile - --out - < kiosk.ruleout | gzip > kiosk.graph.json.gz`

interface Options extends PlanFlags, TextsFlags, WatchFlags {
  readonly out?: string
  readonly force?: true
  readonly json?: true
  readonly explain?: true
  readonly whatIf?: readonly string[]
  /** Jobs, or true where no number is given. */
  readonly worlds?: number | true
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
  addWatchFlag(addTextsFlag(addPlanFlags(command)))
    .option("--force", "overwrite a file that isn't a graph of the same ruleset")
    .option("--explain", "explain why each step comes before the next best one")
    .option(
      "--what-if <words>",
      "what a job would cost with one declaration changed; may be given several times",
      (words: string, before: readonly string[] = []) => [...before, words],
    )
    .option(
      "--worlds [jobs]",
      `simulate this many jobs (${USUAL_JOBS}) in which the ruleset is wrong`,
      wholeNumber,
    )
    .option("--json", "print the figures as JSON")
    .addHelpText("after", HELP)
    .action(async (file: string, options: Options) =>
      done(await runWatched([file, ...(options.texts ?? [])], options, () => compile(file, options))),
    )
}

function compile(file: string, options: Options): Exit {
  const toOutput = options.out === "-"
  if (options.json && toOutput)
    throw new UserError(
      "The figures and the graph can't both go to standard output.",
      "Name a file with --out.",
    )
  // A name that can't be used is said before the plan is made; the one that comes from the ruleset, after it.
  let ruleset: string | undefined
  const outputFor = (path: string) => graphOutput(path, options.force, () => ruleset)
  const named = options.out === undefined || toOutput ? undefined : outputFor(options.out)
  const compiled = compileFile(file, { ...planOptions(options), ...textsOption(options) })
  const { diagnostics, sources, graph } = compiled
  if (!options.json) printDiagnostics(diagnostics, sources)
  if (graph === undefined) {
    if (options.json) outJson({ findings: diagnostics, ...countDiagnostics(diagnostics) })
    else err(`${plain(displayName(file))} isn't compiled: fix the errors first.\n`)
    return 2
  }
  ruleset = graph.ruleset.name
  const target = options.out ?? `${graph.ruleset.name}.graph.json`
  const text = graphText(graph)
  if (toOutput) {
    out(text)
    sayLeftOut(graph)
  } else {
    const output = named ?? outputFor(target)
    writePictures(target, graph, picturesOfRuleset(compiled))
    output.write(text)
  }
  const bytes = Buffer.byteLength(text)
  const steps = options.explain ? explainedSteps(compiled) : undefined
  const whatIf = options.whatIf ? supposed(compiled, options.whatIf, planOptions(options)) : undefined
  const jobs = options.worlds === true ? USUAL_JOBS : options.worlds
  const worlds = jobs === undefined ? undefined : playedWorlds(graph, jobs)
  if (options.json) {
    outJson({
      file: target,
      ...planFigures(graph, bytes),
      steps,
      whatIf,
      worlds,
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
  if (worlds) say(`\n${worldsText(graph, worlds, color)}`)
  return 0
}

function wholeNumber(text: string): number {
  const n = Number(text)
  if (Number.isSafeInteger(n) && n >= 1) return n
  throw new InvalidArgumentError("Give a whole number from 1 on, or nothing; the ruleset comes before it.")
}

/** Only a graph of the same ruleset is overwritten; an older one makes way for the new. */
function graphOutput(target: string, force: true | undefined, name: () => string | undefined): Output {
  return new Output(target, {
    kind: "graph",
    force,
    mayReplace: (there) => {
      const [was, is] = [rulesetOf(there), name()]
      return was !== undefined && (is === undefined || was === is)
    },
    describe: (there) => {
      const ruleset = rulesetOf(there)
      return ruleset === undefined ? "not a graph" : `a graph of \`${ruleset}\``
    },
  })
}

/** The ruleset that a text is a graph of, of this format or an older one; undefined where it isn't one. */
function rulesetOf(text: string): string | undefined {
  try {
    const there = JSON.parse(text) as { format?: unknown; ruleset?: { name?: unknown } } | null
    return /^ruleout-graph\/\d+$/.test(String(there?.format)) ? String(there?.ruleset?.name) : undefined
  } catch {
    return undefined
  }
}
