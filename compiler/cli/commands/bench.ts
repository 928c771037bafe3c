import type { Command } from "commander"
import { open } from "../../run/index.ts"
import { Dialog } from "../bench/dialog.ts"
import { appendLine, displayName } from "../io/files.ts"
import { Lines } from "../io/line-input.ts"
import { loadGraph } from "../io/load-graph.ts"
import { addPlanFlags, type PlanFlags, planOptions } from "../io/plan-flags.ts"
import { hasColor, outJson, plain, style } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"

const help = `
Cautions come first, then what to do. The job ends with a verdict and its proof run, or is handed over.
Exit code 1 if the input ends before the job does.

Examples:
  $ ruleout bench kiosk_dark.graph.json --save kiosk.cases.jsonl
  $ printf 'no\\n24.1 V\\nstays\\n' | ruleout bench kiosk.ruleout --json`

interface Options extends PlanFlags {
  readonly save?: string
  readonly id?: string
  readonly json?: true
}

export function addBench(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("bench")
    .summary("walk through a job, step by step")
    .description("Leads through a job in the terminal: one step at a time, in any order, with the reasons.")
    .argument("<graph>", "a compiled graph or a ruleset")
    .option("--save <cases>", "append the finished job to this file of recorded cases")
    .option("--id <id>", "the job's id in the record, never a person's name (default: date and time)")
  addPlanFlags(command)
    .option("--json", "print the record as JSON; the walk goes to standard error")
    .addHelpText("after", help)
    .action(async (graph: string, options: Options) => done(await bench(graph, options)))
}

async function bench(file: string, options: Options): Promise<Exit> {
  if (file === "-")
    throw new UserError("The graph can't come from standard input: the answers do.", "Name the graph's file.")
  const graph = loadGraph(file, planOptions(options))
  if (graph === undefined) return 2
  const output = options.json ? process.stderr : process.stdout
  const paint = style(hasColor(output))
  const lines = new Lines(output)
  try {
    const outcome = await new Dialog(graph, open(graph), lines, paint).run()
    if (outcome.end !== "done") {
      const stopped = outcome.end === "stopped"
      lines.say(
        stopped
          ? "Stopped; nothing is saved."
          : paint.warn("The input ended before the job did; nothing is saved."),
      )
      return stopped ? 0 : 1
    }
    const now = new Date().toISOString()
    const record = outcome.session.record({
      id: options.id ?? `B-${now.slice(0, 19).replaceAll(/[-:]/g, "").replace("T", "-")}`,
      date: now.slice(0, 10),
      ...(outcome.fault === undefined ? {} : { fault: outcome.fault }),
      ...(outcome.proved ? { confirmed: "proof" } : {}),
      came_back: false,
    })
    if (options.save !== undefined) {
      appendLine(options.save, JSON.stringify(record))
      lines.say(plain(`Saved as ${record.id} in ${displayName(options.save)}.`))
    }
    if (options.json) outJson(record)
    return 0
  } finally {
    lines.close()
  }
}
