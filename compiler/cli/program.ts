/** The command line: which commands there are, and what becomes of everything that goes wrong. */
import { Command, CommanderError } from "commander"
import { RunError } from "../run/index.ts"
import { VERSION } from "../version.ts"
import { addBench } from "./commands/bench.ts"
import { addCheck } from "./commands/check.ts"
import { addCompare } from "./commands/compare.ts"
import { addCompile } from "./commands/compile.ts"
import { addFit } from "./commands/fit.ts"
import { addFormat } from "./commands/format.ts"
import { addImport } from "./commands/import.ts"
import { addReplay } from "./commands/replay.ts"
import { addShip } from "./commands/ship.ts"
import { addVerify } from "./commands/verify.ts"
import { err, hasColor, plain, style } from "./io/terminal.ts"
import { type Exit, UserError } from "./io/user-error.ts"

const examples = `
Examples:
  $ ruleout check kiosk.ruleout              is anything wrong with it?
  $ ruleout format --write kiosk.ruleout     the usual layout
  $ ruleout compile kiosk.ruleout            writes kiosk_dark.graph.json
  $ ruleout bench kiosk_dark.graph.json      walk through a job
  $ ruleout replay kiosk.ruleout kiosk.cases.jsonl
  $ ruleout compare old.ruleout kiosk.ruleout kiosk.cases.jsonl
  $ ruleout fit kiosk.ruleout kiosk.cases.jsonl
  $ ruleout ship kiosk.ruleout --to page     one file for the bench, no network
  $ ruleout verify kiosk_dark.graph.json     is it what was sealed?

A file can be - for standard input. Exit codes: 0 fine, 1 what was asked is not so or a warning, 2 bad use or input.
NO_COLOR and FORCE_COLOR are respected. RULEOUT_DEBUG=1 adds to a failure where in the program it was.`

/** Runs one command line. Never throws. */
export async function run(args: readonly string[]): Promise<Exit> {
  let exit: Exit = 0
  const done = (code: Exit) => {
    exit = code
  }
  const program = new Command("ruleout")
    .description("Writes down what can be wrong with a machine, and works out the cheapest way to find it.")
    .version(VERSION, "-V, --version", "print the version")
    .helpOption("-h, --help", "print help")
    .addHelpText("after", examples)
    .showHelpAfterError("(ruleout --help shows what there is)")
    .configureOutput({ outputError: (text, write) => write(plain(text.replace(/'([^']*)'/g, "`$1`"))) })
    .exitOverride()
  for (const add of [
    addCheck,
    addFormat,
    addCompile,
    addBench,
    addReplay,
    addCompare,
    addFit,
    addImport,
    addShip,
    addVerify,
  ])
    add(program, done)
  for (const command of program.commands)
    command.copyInheritedSettings(program).showHelpAfterError(`(ruleout ${command.name()} --help shows how)`)
  try {
    if (args.length === 0) {
      program.outputHelp({ error: true })
      return 2
    }
    await program.parseAsync([...args], { from: "user" })
    return exit
  } catch (error) {
    return failed(error)
  }
}

function failed(error: unknown): Exit {
  // Its words have been said already.
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2
  const { bad, bold } = style(hasColor(process.stderr))
  const known = error instanceof UserError || error instanceof RunError
  const message = error instanceof Error ? error.message : String(error)
  err(
    `${bad("ruleout:")} ${known ? plain(message) : `Something went wrong that should not: ${plain(message)}`}\n`,
  )
  const hint = error instanceof UserError ? error.hint : undefined
  if (hint !== undefined) err(`  ${bold("help:")} ${plain(hint)}\n`)
  if (process.env.RULEOUT_DEBUG === "1") err(`${plain(error instanceof Error ? (error.stack ?? "") : "")}\n`)
  else if (!known)
    err(
      `  ${bold("help:")} Please report it, with what RULEOUT_DEBUG=1 prints besides and the file that did it.\n`,
    )
  return 2
}
