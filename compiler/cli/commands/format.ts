import type { Command } from "commander"
import { print } from "../../syntax/format/format.ts"
import { parse } from "../../syntax/parser/parse.ts"
import { displayName, LARGEST_SOURCE, readText } from "../io/files.ts"
import { rewrite } from "../io/output.ts"
import { printDiagnostics } from "../io/print-diagnostics.ts"
import { err, out, outJson, plain } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"

const HELP = `
Comments are kept, and blank lines between groups. A file with syntax errors is left as it is, with exit code 2.

Examples:
  $ ruleout format kiosk.ruleout                prints it in the standard layout
  $ ruleout format --write shop/*.ruleout       rewrites those that differ
  $ ruleout format --check shop/*.ruleout       lists those that differ, exit code 1`

interface Options {
  readonly check?: true
  readonly write?: true
  readonly json?: true
}

type State = "formatted" | "differs" | "written" | "broken"

export function addFormat(program: Command, done: (exit: Exit) => void): void {
  program
    .command("format")
    .summary("lay out a ruleset in the standard way")
    .description("Lays out rulesets in the standard way, without changing what they mean.")
    .argument("<file...>", "rulesets, - for standard input")
    .option("--check", "only list the files that differ")
    .option("--write", "rewrite the files that differ")
    .option("--json", "print the state of each file as JSON")
    .addHelpText("after", HELP)
    .action((files: string[], options: Options) => done(format(files, options)))
}

function format(files: readonly string[], { check, write, json }: Options): Exit {
  if (check && write) throw new UserError("Use either --check or --write.", "--write lists what it rewrote.")
  if (write && files.includes("-"))
    throw new UserError("Standard input can't be rewritten.", "Leave out --write to print it.")
  if (!check && !write && files.length > 1)
    throw new UserError(
      "Only one file can be printed at a time.",
      "Add --write to rewrite them, or --check to list those that differ.",
    )
  const states = files.map((file): { file: string; state: State } => {
    const text = readText(file, LARGEST_SOURCE)
    const { tree, diagnostics } = parse(file, text)
    if (diagnostics.some(({ severity }) => severity === "error")) {
      printDiagnostics(diagnostics, new Map([[file, text]]))
      err(`${plain(displayName(file))} is left as it is: fix the errors first.\n`)
      return { file, state: "broken" }
    }
    const laidOut = print(tree)
    if (!check && !write) {
      if (!json) out(process.stdout.isTTY ? plain(laidOut) : laidOut)
      return { file, state: laidOut === text ? "formatted" : "differs" }
    }
    if (laidOut === text) return { file, state: "formatted" }
    if (write) rewrite(file, laidOut)
    if (!json) out(`${write ? "Rewritten" : "Differs"}: ${plain(file)}\n`)
    return { file, state: write ? "written" : "differs" }
  })
  if (json) outJson({ files: states })
  if (states.some(({ state }) => state === "broken")) return 2
  return check && states.some(({ state }) => state === "differs") ? 1 : 0
}
