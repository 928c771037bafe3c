import type { Command } from "commander"
import { type CaseFinding, readCases } from "../cases/read.ts"
import { renderReport } from "../cases/render.ts"
import { Tally } from "../cases/tally.ts"
import { track } from "../cases/track.ts"
import { largestCases, readText } from "./files.ts"
import { counted, countText, sayFindings } from "./findings.ts"
import { type Effort, effortOf, effortOptions, graphOf } from "./source.ts"
import { err, hasColor, out, outJson, ProgressLine, plain, style } from "./terminal.ts"
import { type Exit, Trouble } from "./trouble.ts"

const help = `
Each line of CASES is one finished job in JSON. A line that cannot be read is said and left out; exit code 1 then.

Examples:
  $ ruleout replay kiosk.ruleout kiosk.cases.jsonl
  $ ruleout replay kiosk_dark.graph.json - --json < kiosk.cases.jsonl`

interface Options extends Effort {
  readonly json?: true
}

export function addReplay(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("replay")
    .summary("hold recorded cases against a graph")
    .description(
      "Walks recorded cases through the graph, and says where it was right, what it cost, and what no case used.",
    )
    .argument("<graph>", "a compiled graph or a ruleset, - for standard input")
    .argument("<cases>", "recorded cases, one line of JSON each, - for standard input")
  effortOptions(command)
    .option("--json", "print the report as JSON")
    .addHelpText("after", help)
    .action((graph: string, cases: string, options: Options) => done(replay(graph, cases, options)))
}

function replay(graphFile: string, casesFile: string, options: Options): Exit {
  if (graphFile === "-" && casesFile === "-") throw new Trouble("Only one of the two can be standard input.")
  const graph = graphOf(graphFile, effortOf(options))
  if (graph === undefined) return 1
  const road = track(graph)
  const text = readText(casesFile, largestCases)
  const tally = new Tally(road)
  const findings: CaseFinding[] = []
  const progress = new ProgressLine()
  let lines = 0
  for (const line of readCases(text, road.graph, casesFile)) {
    findings.push(...line.findings)
    if (line.case) tally.add(line.case)
    if (++lines % 10_000 === 0) progress.show(`${lines.toLocaleString("en")} cases`)
  }
  progress.clear()
  const report = tally.report()
  if (options.json) outJson({ report, findings })
  else {
    sayFindings(findings, new Map([[casesFile, text]]))
    out(plain(renderReport(report)))
    if (findings.length > 0) {
      const { warn } = style(hasColor(process.stderr))
      err(
        `${warn(`${countText(counted(findings))} in the cases, see above: what could not be read was left out.`)}\n`,
      )
    }
  }
  return findings.length > 0 ? 1 : 0
}
