import type { Command } from "commander"
import { KeyError, VerifyError, verify } from "../../ship/index.ts"
import { displayName, largestGraph, largestSource, readText } from "../io/files.ts"
import { parseGraph } from "../io/load-graph.ts"
import { hasColor, out, outJson, plain, style } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"

const help = `
Exit code 1 if the graph isn't sealed, isn't what was sealed, or with --key isn't signed with that key.

Examples:
  $ ruleout verify kiosk_dark.graph.json                   is it undamaged?
  $ ruleout verify kiosk_dark.graph.json --key shop.pub    and did the shop sign it?
  $ cat kiosk_dark.graph.json | ruleout verify - --key shop.pub --json`

interface Options {
  readonly key?: string
  readonly json?: true
}

export function addVerify(program: Command, done: (exit: Exit) => void): void {
  program
    .command("verify")
    .summary("check the seal of a graph")
    .description("Checks that a graph is what was sealed with `ship --sign`, and who signed it.")
    .argument("<graph>", "a sealed graph, - for standard input")
    .option("--key <file>", "the public key that it must be signed with")
    .option("--json", "print the result as JSON")
    .addHelpText("after", help)
    .action(async (file: string, options: Options) => done(await check(file, options)))
}

async function check(file: string, options: Options): Promise<Exit> {
  if (file === "-" && options.key === "-")
    throw new UserError("Only one of the two can be standard input.", "Name the file of the key.")
  const key = options.key === undefined ? undefined : readText(options.key, largestSource)
  const graph = parseGraph(file, readText(file, largestGraph))
  const { good, warn, bad } = style(hasColor(process.stdout))
  try {
    const seal = await verify(graph, { subtle: crypto.subtle, key })
    if (options.json) outJson({ holds: true, ...seal })
    else {
      out(`${good("The seal holds:")} ${plain(seal.digest)}\n`)
      if (seal.authentic) out(`${good("Signed")} with the key in ${plain(displayName(options.key!))}.\n`)
      else if (seal.signed) out("It is signed too: name the public key with --key to check by whom.\n")
      else out(`${warn("Not signed:")} anybody who changes the graph can seal it again.\n`)
    }
    return 0
  } catch (error) {
    if (error instanceof KeyError)
      throw new UserError(
        `${displayName(options.key!)}: ${error.message}`,
        "To get the public key of a private one: openssl pkey -in shop.key -pubout -out shop.pub",
      )
    if (!(error instanceof VerifyError)) throw error
    if (options.json) outJson({ holds: false, says: error.message })
    else out(`${bad("Refused:")} ${plain(error.message)}\n`)
    return 1
  }
}
