/** The command line: which commands there are, and what is printed when one fails. */
import { Command } from "commander"
import { VERSION } from "../version.ts"
import { addBench } from "./commands/bench.ts"
import { addCheck } from "./commands/check.ts"
import { addCompare } from "./commands/compare.ts"
import { addCompile } from "./commands/compile.ts"
import { addDiff } from "./commands/diff.ts"
import { addDoctor } from "./commands/doctor.ts"
import { addFit } from "./commands/fit.ts"
import { addFormat } from "./commands/format.ts"
import { addHelp } from "./commands/help.ts"
import { addImport } from "./commands/import.ts"
import { addLsp } from "./commands/lsp.ts"
import { addNew } from "./commands/new.ts"
import { addReplay } from "./commands/replay.ts"
import { addServe } from "./commands/serve.ts"
import { addSheet } from "./commands/sheet.ts"
import { addShip } from "./commands/ship.ts"
import { addTest } from "./commands/test.ts"
import { addVerify } from "./commands/verify.ts"
import { forgetFiles } from "./io/known-files.ts"
import { reportError } from "./io/report-error.ts"
import { plain } from "./io/terminal.ts"
import type { Exit } from "./io/user-error.ts"

const EXAMPLES = `
Examples:
  $ ruleout new kiosk                        writes a ruleset to start from
  $ ruleout check kiosk.ruleout              reports problems
  $ ruleout test kiosk.ruleout               plays its scenarios
  $ ruleout format --write kiosk.ruleout     the standard layout
  $ ruleout compile kiosk.ruleout            writes kiosk_dark.graph.json
  $ ruleout bench kiosk_dark.graph.json      leads through a job
  $ ruleout replay kiosk.ruleout kiosk.cases.jsonl
  $ ruleout compare old.ruleout kiosk.ruleout kiosk.cases.jsonl
  $ ruleout diff old.ruleout kiosk.ruleout   says what changes
  $ ruleout fit kiosk.ruleout kiosk.cases.jsonl
  $ ruleout ship kiosk.ruleout --to page     one file for the bench, no network
  $ ruleout verify kiosk_dark.graph.json     is it undamaged?
  $ ruleout serve kiosk_dark.graph.json      answers other shop tools over HTTP
  $ ruleout lsp                              serves an editor
  $ ruleout doctor                           says what is missing on this machine
  $ ruleout help language                    the reference, page by page; help alone lists all topics

Use - for standard input. Exit codes: 0 fine, 1 a warning or the answer is no, 2 bad use or input.
NO_COLOR and FORCE_COLOR are respected. RULEOUT_DEBUG=1 adds the stack trace to a failure.`

/** Runs one command line. Never throws. */
export async function run(args: readonly string[]): Promise<Exit> {
  forgetFiles()
  let exit: Exit = 0
  const done = (code: Exit) => {
    exit = code
  }
  const program = new Command("ruleout")
    .description(
      "Compiles a list of what can be wrong with a machine into the cheapest way to find and fix it.",
    )
    .version(VERSION, "-V, --version", "print the version")
    .helpOption("-h, --help", "print help")
    .addHelpText("after", EXAMPLES)
    .showHelpAfterError("(see ruleout --help)")
    .configureOutput({ outputError: (text, write) => write(plain(text.replace(/'([^']*)'/g, "`$1`"))) })
    .exitOverride()
  for (const add of [
    addNew,
    addCheck,
    addTest,
    addFormat,
    addCompile,
    addBench,
    addReplay,
    addCompare,
    addDiff,
    addFit,
    addImport,
    addShip,
    addSheet,
    addVerify,
    addServe,
    addLsp,
    addDoctor,
    addHelp,
  ])
    add(program, done)
  for (const command of program.commands)
    command.copyInheritedSettings(program).showHelpAfterError(`(see ruleout ${command.name()} --help)`)
  try {
    if (args.length === 0) {
      program.outputHelp({ error: true })
      return 2
    }
    await program.parseAsync([...args], { from: "user" })
    return exit
  } catch (error) {
    return reportError(error)
  }
}
