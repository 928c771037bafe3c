import { type Command, Option } from "commander"
import { open } from "../../run/index.ts"
import { PAPERS, type Paper } from "../../ship/sheets/paper.ts"
import { SHEET_KINDS, type SheetKind, sheet } from "../../ship/sheets/sheets.ts"
import { JobFile } from "../bench/job-file.ts"
import { ownerLimit } from "../bench/owner-limit.ts"
import { checkRecordFlags, sessionFromRecord } from "../bench/reopen-record.ts"
import { addLanguageFlag, type LanguageFlags, spokenIn } from "../io/language-flag.ts"
import { loadGraph } from "../io/load-graph.ts"
import { Output } from "../io/output.ts"
import { addPlanFlags, type PlanFlags, planOptions } from "../io/plan-flags.ts"
import { addSealFlags, type SealPolicy } from "../io/seal-policy.ts"
import { err, outFlushed, plain } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"

const HELP = `
Writes one page of HTML to print, or to save as PDF from any browser:
  intake    the owner's account, to be filled in by hand
  job       what was found, the next step with its cautions, and all that can be done
  handover  for whoever goes on with the machine
  owner     what was found, what is likely, and what each way on would cost
With --job or --from it shows how far the job has got.

Examples:
  $ ruleout sheet intake kiosk_dark.graph.json -o intake.html
  $ ruleout sheet owner kiosk_dark.graph.json --job bench3.job.json --owner-stops-at 120 -o owner.html
  $ ruleout sheet handover kiosk_dark.graph.json --from kiosk.cases.jsonl --record K-7 --paper letter`

interface Options extends LanguageFlags, PlanFlags, SealPolicy {
  readonly job?: string
  readonly from?: string
  readonly record?: string
  readonly id?: string
  readonly ownerStopsAt?: string
  readonly paper: Paper
  readonly out?: string
  readonly force?: true
}

export function addSheet(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("sheet")
    .summary("write a sheet to print for a job")
    .description("Writes a sheet to print: for the intake, the bench, the next technician or the owner.")
    .argument("<kind>", SHEET_KINDS.join(", "))
    .argument("<graph>", "a compiled graph or a ruleset")
    .option("--job <file>", "a job that is kept in this file")
    .option("--from <cases>", "a recorded job: the last one in this file")
    .option("--record <id>", "with --from: the job with this id")
    .option("--id <id>", "the job's id, never a person's name")
    .option("--owner-stops-at <amount>", "the most that the owner wants to pay")
    .addOption(new Option("--paper <size>", "the size of the paper").choices(PAPERS).default("a4"))
    .option("-o, --out <file>", "write here instead of standard output")
    .option("--force", "overwrite the file if it exists")
  addSealFlags(addPlanFlags(addLanguageFlag(command)))
    .addHelpText("after", HELP)
    .action(async (kind: string, graph: string, options: Options) => done(await write(kind, graph, options)))
}

async function write(wanted: string, file: string, options: Options): Promise<Exit> {
  const kind = SHEET_KINDS.find((each): each is SheetKind => each === wanted)
  if (kind === undefined)
    throw new UserError(`There is no sheet \`${wanted}\`.`, `The sheets are ${SHEET_KINDS.join(", ")}.`)
  const { job, from, record, id, paper, out, force } = options
  if (job !== undefined && from !== undefined)
    throw new UserError("Use one of --job and --from.", "A sheet is of one job.")
  checkRecordFlags(options)
  const asked = ownerLimit(options.ownerStopsAt)
  const target = out === undefined ? undefined : new Output(out, { kind: "export", force })
  const loaded = await loadGraph(file, planOptions(options), options)
  if (loaded === undefined) return 2
  const { graph, words } = spokenIn(loaded, options)
  const jobFile = job === undefined ? undefined : new JobFile(job, graph)
  const kept = jobFile?.read()
  if (job !== undefined && kept === undefined) throw new UserError(`There is no job in \`${job}\`.`)
  const session = kept ?? (from === undefined ? open(graph) : sessionFromRecord(graph, from, record))
  const date = new Date().toISOString().slice(0, 10)
  const limit = asked ?? jobFile?.terms.ownerStopsAt
  const text = sheet(kind, graph, session, {
    paper,
    words,
    date,
    ...(id === undefined ? {} : { id }),
    ...(limit === undefined ? {} : { ownerStopsAt: limit }),
  })
  if (target === undefined) await outFlushed(text)
  else {
    target.write(text)
    err(`Written to ${plain(target.path)}\n`)
  }
  return 0
}
