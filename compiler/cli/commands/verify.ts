import type { Command } from "commander"
import type { Graph } from "../../run/graph.ts"
import { type Verified, VerifyError } from "../../ship/index.ts"
import { picturesIn } from "../../ship/pictures.ts"
import { displayName, LARGEST_GRAPH, readText } from "../io/files.ts"
import { parseGraph } from "../io/load-graph.ts"
import { picturesBeside } from "../io/picture-files.ts"
import { addSealFlags, isTooOld, type SealPolicy, verified } from "../io/seal-policy.ts"
import { hasColor, out, outJson, plain, style } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"

const HELP = `
Exit code 1 if the graph isn't sealed, isn't what was sealed, or with --key isn't signed with that key, for
that purpose, or the signature has expired.

Examples:
  $ ruleout verify kiosk_dark.graph.json                   is it undamaged?
  $ ruleout verify kiosk_dark.graph.json --key shop.pub    and did the shop sign it?
  $ cat kiosk_dark.graph.json | ruleout verify - --key shop.pub --json`

interface Options extends SealPolicy {
  readonly json?: true
}

export function addVerify(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("verify")
    .summary("check the seal of a graph")
    .description("Checks that a graph is what was sealed with `ship --sign`, and who signed it.")
    .argument("<graph>", "a sealed graph, - for standard input")
  addSealFlags(command)
    .option("--json", "print the result as JSON")
    .addHelpText("after", HELP)
    .action(async (file: string, options: Options) => done(await check(file, options)))
}

async function check(file: string, options: Options): Promise<Exit> {
  if (file === "-" && options.key === "-")
    throw new UserError("Only one of the two can be standard input.", "Name the file of the key.")
  const graph = parseGraph(file, readText(file, LARGEST_GRAPH))
  const { good, bad } = style(hasColor(process.stdout))
  try {
    const seal = await verified(graph, options)
    if (file !== "-") checkPictures(file, graph)
    if (isTooOld(file, graph, options))
      throw new VerifyError(`This is version ${graph.ruleset.version}, older than ${options.atLeast}.`)
    if (options.json) outJson({ holds: true, ...seal })
    else {
      out(`${good("The seal holds:")} ${plain(seal.digest)}\n`)
      out(sealText(seal, options))
    }
    return 0
  } catch (error) {
    const isRefused = error instanceof VerifyError
    if (!isRefused) throw error
    if (options.json) outJson({ holds: false, says: error.message })
    else out(`${bad("Refused:")} ${plain(error.message)}\n`)
    return 1
  }
}

/** The seal covers the digests of the pictures beside the graph. @throws VerifyError where one isn't what was sealed */
function checkPictures(file: string, graph: Graph): void {
  const { bytesOf } = picturesBeside(file)
  for (const picture of picturesIn(graph))
    try {
      bytesOf(picture)
    } catch (error) {
      if (error instanceof UserError) throw new VerifyError(error.message)
      throw error
    }
}

function sealText({ authentic, signed, key, purpose, at, expires }: Verified, options: Options): string {
  const { good, warn } = style(hasColor(process.stdout))
  if (!signed) return `${warn("Not signed:")} anybody who changes the graph can seal it again.\n`
  const whose =
    authentic && options.key !== undefined
      ? `${good("Signed")} with the key in ${plain(displayName(options.key))}.\n`
      : "It is signed too: name the public key with --key to check by whom.\n"
  const until = expires === undefined ? "" : `, to be used until ${expires}`
  return `${whose}${plain(`Key ${key ?? "not named"}, for ${purpose ?? "nothing said"}, ${at ?? "at no time said"}${until}.`)}\n`
}
