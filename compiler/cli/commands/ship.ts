import { type Command, Option } from "commander"
import type { Graph } from "../../run/index.ts"
import { KeyError, ShipError, seal } from "../../ship/index.ts"
import { grouped } from "../../wording/figures.ts"
import { displayName, largestSource, readText } from "../io/files.ts"
import { loadGraph } from "../io/load-graph.ts"
import { Output } from "../io/output.ts"
import { addPlanFlags, type PlanFlags, percentage, planOptions } from "../io/plan-flags.ts"
import { out, plain } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"
import { type TargetName, targets } from "./export-targets.ts"

const list = Object.entries(targets)
  .map(([name, { says }]) => `  ${name.padEnd(12)}${says}`)
  .join("\n")

const help = `
Targets:
${list}

Without --out the file is named after the ruleset. A different file of that name isn't overwritten. Pictures and the card
leave out what fewer jobs than --least get to, and say so. The same graph gives the same bytes. Only --sign with --key
proves who wrote a graph; --sign alone shows damage. Keys are Ed25519 in PEM files:
  $ openssl genpkey -algorithm ed25519 -out shop.key && openssl pkey -in shop.key -pubout -out shop.pub

Examples:
  $ ruleout ship kiosk.ruleout --to page                     one file for a tablet at the bench
  $ ruleout ship kiosk_dark.graph.json --to markdown --least 1%
  $ ruleout ship kiosk.ruleout --sign --key shop.key         a signed graph; ruleout verify checks it
  $ ruleout ship - --to dot --out - < kiosk.ruleout | dot -Tpdf > kiosk.pdf`

const makeKey = "Make one with: openssl genpkey -algorithm ed25519 -out shop.key"

interface Options extends PlanFlags {
  readonly to: TargetName
  readonly out?: string
  readonly force?: true
  readonly least?: number
  readonly sign?: true
  readonly key?: string
}

export function addShip(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("ship")
    .summary("export a graph for another tool")
    .description("Writes a ruleset's graph in a format for another tool.")
    .argument("<file>", "a ruleset or a compiled graph, - for standard input")
    .addOption(
      new Option("-t, --to <target>", "what to write, see below")
        .choices(Object.keys(targets))
        .default("graph"),
    )
    .option("-o, --out <file>", "where it goes, - for standard output")
    .option("--force", "overwrite any file")
    .option("--least <percent>", "leave out what fewer jobs get to, like 1%", percentage)
    .option("--sign", "seal the graph with a digest of its content")
    .option("--key <file>", "sign it with this private key")
  addPlanFlags(command)
    .addHelpText("after", help)
    .action(async (file: string, options: Options) => done(await ship(file, options)))
}

async function ship(file: string, options: Options): Promise<Exit> {
  const target = targets[options.to]
  const signs = options.sign || options.key !== undefined
  if (signs && !target.carries)
    throw new UserError(
      `\`${options.to}\` doesn't contain the graph, so it can't be sealed.`,
      "Seal the graph itself: --to graph, module or page.",
    )
  if (options.least !== undefined && !target.draws)
    throw new UserError(
      `\`${options.to}\` is always complete: --least is for dot, mermaid, svg and markdown.`,
    )
  const key = options.key === undefined ? undefined : readText(options.key, largestSource)
  const graph = loadGraph(file, planOptions(options))
  if (graph === undefined) return 2
  try {
    const sealed = signs ? await seal(graph, { subtle: crypto.subtle, key }) : graph
    const least = options.least === undefined ? {} : { least: options.least }
    const texts = target.write(sealed, least)
    if (options.out === "-") out(texts[0]!.text)
    else {
      const files = texts.map(({ ending, text }, i) => {
        const path = pathOf(options.out, graph, ending, i)
        return { path, text, output: outputOf(path, text, options) }
      })
      for (const { output, text } of files) output.write(text)
      for (const { path, text } of files)
        out(`Written to ${plain(path)}, ${grouped(Buffer.byteLength(text))} bytes\n`)
    }
    return 0
  } catch (error) {
    if (error instanceof KeyError)
      throw new UserError(`${displayName(options.key!)}: ${error.message}`, makeKey)
    if (error instanceof ShipError) throw new UserError(error.message)
    throw error
  }
}

/** The first file gets the name that the user gave; others, like types, the same with their own ending. */
function pathOf(named: string | undefined, graph: Graph, ending: string, n: number): string {
  if (named !== undefined) return n === 0 ? named : `${named.replace(/\.\w+$/, "")}${ending}`
  // A graph from elsewhere could name any place on this machine.
  if (!/^[\w-]+$/.test(graph.ruleset.name))
    throw new UserError(
      `The graph's name ${displayName(graph.ruleset.name)} can't be a file name.`,
      "Name a file with --out.",
    )
  return `${graph.ruleset.name}${ending}`
}

/** What would be the same is no harm. */
function outputOf(path: string, text: string, { to, force }: Options): Output {
  return new Output(path, {
    kind: to === "graph" ? "graph" : "export",
    force,
    mayReplace: (there) => there === text,
    describe: () => "different",
  })
}
