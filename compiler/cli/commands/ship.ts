import { type Command, InvalidArgumentError, Option } from "commander"
import type { Graph } from "../../run/index.ts"
import { KeyError, ShipError, seal, type TargetFile, type TargetName, targets } from "../../ship/index.ts"
import { grouped } from "../../wording/figures.ts"
import { displayName, LARGEST_SOURCE, readText } from "../io/files.ts"
import { addLanguageFlag, type LanguageFlags, spokenIn } from "../io/language-flag.ts"
import { loadPictured } from "../io/load-graph.ts"
import { Output } from "../io/output.ts"
import { readPart } from "../io/parts.ts"
import { sayLeftOut, writePictures } from "../io/picture-files.ts"
import { addPlanFlags, type PlanFlags, percentage, planOptions } from "../io/plan-flags.ts"
import { warnOfReaders } from "../io/seal-policy.ts"
import { out, plain } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"

const list = Object.entries(targets)
  .map(([name, { says }]) => `  ${name.padEnd(12)}${says}`)
  .join("\n")

const help = `
Targets:
${list}

Without --out the file is named after the ruleset. A different file of that name isn't overwritten. Pictures and the card
leave out what fewer jobs than --least reach, and say so. The same graph gives the same bytes. Only a private key
proves who wrote a graph; --sign alone shows damage. A graph whose seal is broken is refused. With SOURCE_DATE_EPOCH the
time of signing is that. Keys are Ed25519 in PEM files:
  $ openssl genpkey -algorithm ed25519 -out shop.key && openssl pkey -in shop.key -pubout -out shop.pub

Examples:
  $ ruleout ship kiosk.ruleout --to page                     one file for a tablet at the bench
  $ ruleout ship kiosk_dark.graph.json --to markdown --least 1%
  $ ruleout ship kiosk.ruleout --sign --key shop.key         a signed graph; ruleout verify checks it
  $ ruleout ship - --to dot --out - < kiosk.ruleout | dot -Tpdf > kiosk.pdf`

const MAKE_KEY = "Make one with: openssl genpkey -algorithm ed25519 -out shop.key"

interface Options extends LanguageFlags, PlanFlags {
  readonly to: TargetName
  readonly out?: string
  readonly force?: true
  readonly least?: number
  readonly sign?: true
  readonly key?: readonly string[]
  readonly purpose?: string
  readonly expires?: string
  readonly atLeast?: string
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
    .option("--least <percent>", "leave out what fewer jobs reach, like 1%", percentage)
    .option("--sign", "seal the graph with a digest of its content")
    .option(
      "--key <file>",
      "sign it with this private key, or take only a graph that is signed with this public one; may be given for both",
      (file: string, before: readonly string[] = []) => [...before, file],
    )
    .option("--purpose <word>", "what it is signed for (default: release)")
    .option("--expires <date>", "the signature doesn't hold from this day on, like 2027-01-31", day)
    .option("--at-least <version>", "take no older version of the ruleset, like 1.4.0")
  addPlanFlags(addLanguageFlag(command))
    .addHelpText("after", help)
    .action(async (file: string, options: Options) => done(await ship(file, options)))
}

function day(text: string): string {
  const at = /^\d{4}-\d\d-\d\d$/.test(text) ? new Date(`${text}T00:00:00Z`) : undefined
  if (at === undefined || Number.isNaN(at.getTime()) || at.toISOString().slice(0, 10) !== text)
    throw new InvalidArgumentError("Give a date, like 2027-01-31.")
  return `${text}T00:00:00Z`
}

async function ship(file: string, options: Options): Promise<Exit> {
  const target = targets[options.to]
  const { privateKey, publicKey } = keysOf(options.key ?? [])
  const signs = options.sign || privateKey !== undefined
  checkOptions(options, signs, privateKey !== undefined)
  const loaded = await loadPictured(file, planOptions(options), { key: publicKey, atLeast: options.atLeast })
  if (loaded === undefined) return 2
  const { pictures } = loaded
  const { graph, words } = spokenIn(loaded.graph, options)
  try {
    const sealed = signs ? await sealedBy(privateKey, graph, options) : graph
    const textOf = (file: TargetFile) =>
      file.write(sealed, { part: readPart, least: options.least, words, pictureBytes: pictures.bytesOf })
    if (options.out === "-") {
      out(textOf(target.files[0]))
      if (target.pictures) sayLeftOut(graph)
    } else {
      const files = target.files.map((file, i) => {
        const path = pathOf(options.out, graph, file.ending, i)
        const text = textOf(file)
        return { path, text, output: outputOf(path, text, options) }
      })
      const [first] = files
      if (target.pictures && first) writePictures(first.path, graph, pictures)
      for (const { output, text } of files) output.write(text)
      for (const { path, text } of files)
        out(`Written to ${plain(path)}, ${grouped(Buffer.byteLength(text))} bytes\n`)
    }
    return 0
  } catch (error) {
    if (error instanceof ShipError) throw new UserError(error.message)
    throw error
  }
}

function checkOptions({ to, least, purpose, expires }: Options, signs: boolean, hasKey: boolean): void {
  const target = targets[to]
  if (signs && !target.carries)
    throw new UserError(
      `\`${to}\` doesn't contain the graph, so it can't be sealed.`,
      "Seal the graph itself: --to graph, module, python or page.",
    )
  if (!hasKey && (purpose !== undefined || expires !== undefined))
    throw new UserError("--purpose and --expires are part of a signature.", "Name a private key with --key.")
  if (least !== undefined && !target.draws)
    throw new UserError(`\`${to}\` is always complete: --least is for dot, mermaid, svg and markdown.`)
}

interface NamedKey {
  readonly file: string
  readonly pem: string
}

/** A key signs or checks by what it is; more than one of a kind would leave open which one counts. */
function keysOf(files: readonly string[]): { privateKey?: NamedKey; publicKey?: string } {
  let privateKey: NamedKey | undefined
  let publicKey: string | undefined
  for (const file of files) {
    const pem = readText(file, LARGEST_SOURCE)
    const isPublic = pem.includes("-----BEGIN PUBLIC KEY-----")
    if (isPublic ? publicKey !== undefined : privateKey !== undefined)
      throw new UserError("Name one private key to sign with, and one public key to check with.")
    if (isPublic) publicKey = file
    else privateKey = { file, pem }
  }
  return { ...(privateKey ? { privateKey } : {}), ...(publicKey === undefined ? {} : { publicKey }) }
}

async function sealedBy(
  key: NamedKey | undefined,
  graph: Graph,
  { purpose, expires }: Options,
): Promise<Graph> {
  if (key) warnOfReaders(key.file)
  try {
    return await seal(graph, { subtle: crypto.subtle, key: key?.pem, at: signingTime(), purpose, expires })
  } catch (error) {
    if (!(error instanceof KeyError) || key === undefined) throw error
    const isEncrypted = key.pem.includes("ENCRYPTED PRIVATE KEY")
    throw new UserError(
      `${displayName(key.file)}: ${error.message}`,
      isEncrypted ? "Decrypt it, and sign with the result: openssl pkey -in KEY -out PLAIN" : MAKE_KEY,
    )
  }
}

/** Now, unless the build is to give the same bytes again (reproducible-builds.org). */
function signingTime(): string {
  const epoch = process.env.SOURCE_DATE_EPOCH
  return (
    epoch !== undefined && /^\d{1,11}$/.test(epoch) ? new Date(Number(epoch) * 1000) : new Date()
  ).toISOString()
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
