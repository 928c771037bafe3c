import { existsSync, mkdirSync } from "node:fs"
import { dirname, join } from "node:path"
import type { Command } from "commander"
import { analyse } from "../../compile.ts"
import { displayName, withSlashes, writeError } from "../io/files.ts"
import { Lines } from "../io/line-input.ts"
import { Output } from "../io/output.ts"
import { out, plain } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"
import { type NewRuleset, skeleton, workflow } from "./skeleton.ts"

const HELP = `
Writes NAME.ruleout, which checks clean and compiles, an empty NAME.cases.jsonl for recorded jobs, and a workflow for a build
server, .github/workflows/rulesets.yml, unless there is one. Nothing that exists is overwritten. Without NAME, on a
terminal, it asks for everything that isn't given.

Examples:
  $ ruleout new
  $ ruleout new kiosk_dark --title "Ticket kiosk: powered, screen dark" --complaint "the screen stays dark"
  $ ruleout new radio_mute --money GBP --bench 48 --folder shop --no-workflow`

interface Options {
  readonly title?: string
  readonly complaint?: string
  readonly money?: string
  readonly bench?: string
  readonly folder?: string
  readonly workflow: boolean
}

export function addNew(program: Command, done: (exit: Exit) => void): void {
  program
    .command("new")
    .summary("start a ruleset")
    .description(
      "Writes a small complete ruleset to start from, a file for its recorded jobs, and a workflow.",
    )
    .argument("[name]", "the ruleset's name: small letters, digits and _")
    .option("--title <text>", "the machine and its complaint, for people")
    .option("--complaint <text>", "what the owner says, as it is looked for")
    .option("--money <code>", "the currency (ISO 4217; default: EUR)")
    .option("--bench <rate>", "what an hour at the bench costs (default: 60)")
    .option("--folder <folder>", "where the ruleset goes (default: rulesets)")
    .option("--no-workflow", "write no workflow")
    .addHelpText("after", HELP)
    .action(async (name: string | undefined, options: Options) => done(await begin(name, options)))
}

async function begin(name: string | undefined, options: Options): Promise<Exit> {
  const { folder = "rulesets", ...given } = name === undefined ? await asked(options) : { ...options, name }
  const beginning = whole(given)
  const text = skeleton(beginning)
  refuseFlaws(text)
  const flow = ".github/workflows/rulesets.yml"
  const isWanted = options.workflow && !existsSync(flow)
  if (isWanted) refuseOddFolder(folder)
  const stem = join(folder, beginning.name)
  write([
    { path: `${stem}.ruleout`, kind: "ruleset", text },
    { path: `${stem}.cases.jsonl`, kind: "cases", text: "" },
    ...(isWanted ? [{ path: flow, kind: "export" as const, text: workflow(withSlashes(folder)) }] : []),
  ])
  if (options.workflow && !isWanted) out(`${flow} is there already, and stays as it is.\n`)
  const ruleset = plain(`${stem}.ruleout`)
  out(`Next: write your machine into ${ruleset}, then \`ruleout check ${ruleset}\`.\n`)
  return 0
}

type Given = Partial<NewRuleset> & { readonly name: string; readonly folder?: string }

function whole({ name, title, complaint = "it doesn't do what it should", money, bench }: Given): NewRuleset {
  return {
    name,
    title: title ?? `${name}: ${complaint}`,
    complaint,
    money: money ?? "EUR",
    bench: bench ?? "60",
  }
}

async function asked(options: Options): Promise<Given> {
  if (process.stdin.isTTY !== true || process.stdout.isTTY !== true)
    throw new UserError("A ruleset needs a name.", "Give one, like `ruleout new kiosk_dark`.")
  const lines = new Lines(process.stdout)
  try {
    return await askedFor(options, (question) => lines.ask(question))
  } finally {
    lines.close()
  }
}

/** What isn't given is asked for; an empty answer takes what stands in brackets. @throws UserError where the answers end */
export async function askedFor(
  given: Partial<Given>,
  ask: (question: string) => Promise<string | undefined>,
): Promise<Given> {
  const answer = async (known: string | undefined, question: string, usual?: string) => {
    if (known !== undefined) return known
    const said = await ask(`${question}${usual === undefined ? "" : ` [${usual}]`}: `)
    if (said === undefined) throw new UserError("The answers ended, and nothing was written.")
    return said === "" && usual !== undefined ? usual : said
  }
  return {
    name: await answer(given.name, "Name of the ruleset, like kiosk_dark"),
    complaint: await answer(given.complaint, "What the owner complains of, like `the screen stays dark`"),
    title: await answer(given.title, "Title, like `Ticket kiosk: powered, screen dark`"),
    money: await answer(given.money, "Currency", "EUR"),
    bench: await answer(given.bench, "An hour at the bench costs", "60"),
    folder: await answer(given.folder, "Folder", "rulesets"),
  }
}

/** What was given becomes words of the language, and it says best what is wrong with one. */
function refuseFlaws(text: string): void {
  const [problem] = analyse("new.ruleout", () => text).diagnostics
  if (problem) throw new UserError(problem.message, problem.help)
}

function refuseOddFolder(folder: string): void {
  if (/^[\w./\\-]+$/.test(folder)) return
  throw new UserError(
    `A workflow can't name the folder ${displayName(folder)}.`,
    "Use letters, digits, `-` and `_` only, or add --no-workflow.",
  )
}

interface NewFile {
  readonly path: string
  readonly kind: "ruleset" | "cases" | "export"
  readonly text: string
}

/** All of them, or none where one of them exists. */
function write(files: readonly NewFile[]): void {
  const instead = "Choose another name, or another folder with --folder."
  const outputs = files.map(({ path, kind }) => {
    makeFolder(dirname(path))
    return new Output(path, { kind, instead })
  })
  for (const [i, output] of outputs.entries()) {
    output.write(files[i]?.text ?? "")
    out(`Written to ${plain(output.path)}\n`)
  }
}

function makeFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true })
  } catch (error) {
    const { message, hint } = writeError(folder, error)
    throw new UserError(message, hint)
  }
}
