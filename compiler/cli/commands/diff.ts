import { type Command, Option } from "commander"
import { type Played, playAll } from "../../cases/scenarios/play.ts"
import { differenceOf, isNone } from "../../graph/difference.ts"
import type { Graph } from "../../run/index.ts"
import { compileFile } from "../io/compile-file.ts"
import { loadGraph } from "../io/load-graph.ts"
import { addPlanFlags, type PlanFlags, planOptions } from "../io/plan-flags.ts"
import { printDiagnostics } from "../io/print-diagnostics.ts"
import { out, outJson, plain } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"
import { differenceText, type ScenarioChange } from "./diff-text.ts"

const HELP = `
The scenarios of both are played where both are rulesets. Exit code 0 if nothing changes, 1 if something does, 2 if one of
the two can't be read.

Examples:
  $ ruleout diff released.graph.json kiosk.ruleout
  $ ruleout diff kiosk-old.ruleout kiosk.ruleout --format markdown > change.md`

interface Options extends PlanFlags {
  readonly format: "text" | "json" | "markdown"
}

export function addDiff(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("diff")
    .summary("say what changes between two rulesets")
    .description(
      "Says what changes from one ruleset or graph to another: costs, declarations, chances, the plan, scenarios.",
    )
    .argument("<old>", "a compiled graph or a ruleset")
    .argument("<new>", "a compiled graph or a ruleset")
  addPlanFlags(command)
    .addOption(
      new Option("--format <format>", "text, json, or markdown for a pull request")
        .choices(["text", "json", "markdown"])
        .default("text"),
    )
    .addHelpText("after", HELP)
    .action(async (old: string, fresh: string, options: Options) => done(await diff(old, fresh, options)))
}

async function diff(oldFile: string, freshFile: string, options: Options): Promise<Exit> {
  if (oldFile === "-" && freshFile === "-") throw new UserError("Only one of the two can be standard input.")
  const old = await sideOf(oldFile, options)
  const fresh = await sideOf(freshFile, options)
  if (!old || !fresh) return 2
  const difference = differenceOf(old.graph, fresh.graph)
  const scenarios = scenarioChanges(old.played, fresh.played)
  const { money } = fresh.graph
  if (options.format === "json") outJson({ difference, scenarios })
  else out(plain(differenceText(difference, scenarios, money, options.format)))
  return isNone(difference) && scenarios.length === 0 ? 0 : 1
}

interface Side {
  readonly graph: Graph
  /** Absent for a graph, which has no scenarios. */
  readonly played?: readonly Played[]
}

async function sideOf(file: string, options: Options): Promise<Side | undefined> {
  if (/\.json$/i.test(file) || file === "-") {
    const graph = await loadGraph(file, planOptions(options))
    return graph && { graph }
  }
  const { graph, scenarios, diagnostics, sources } = compileFile(file, planOptions(options))
  printDiagnostics(
    diagnostics.filter(({ severity }) => severity === "error"),
    sources,
  )
  return graph && { graph, played: playAll(graph, scenarios) }
}

/** Scenarios of the new side that come out otherwise, or are new. */
function scenarioChanges(old: Side["played"], fresh: Side["played"]): ScenarioChange[] {
  if (!old || !fresh) return []
  const before = new Map(old.map((each) => [each.scenario.text, verdictOf(each)]))
  return fresh
    .map((each) => ({
      text: each.scenario.text,
      now: verdictOf(each),
      before: before.get(each.scenario.text),
    }))
    .filter(({ now, before }) => now !== before)
}

function verdictOf({ failures }: Played): "as expected" | "not as expected" {
  return failures.length === 0 ? "as expected" : "not as expected"
}
