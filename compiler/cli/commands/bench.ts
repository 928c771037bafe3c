import type { Command } from "commander"
import { open, type Session } from "../../run/index.ts"
import { type Terms, withTerms } from "../../ship/sheets/terms.ts"
import * as m from "../../wording/compiled/terminal.ts"
import type { Words } from "../../wording/words.ts"
import { Dialog, type Outcome } from "../bench/dialog.ts"
import { KeptJob } from "../bench/kept-job.ts"
import { OwnerTalk, ownerLimit } from "../bench/owner-limit.ts"
import { checkRecordFlags, sessionFromRecord } from "../bench/reopen-record.ts"
import { CaseLog } from "../io/case-log.ts"
import { displayName } from "../io/files.ts"
import { addLanguageFlag, type LanguageFlags, type Spoken, spokenIn } from "../io/language-flag.ts"
import { Lines } from "../io/line-input.ts"
import { loadPictured, type PicturedGraph } from "../io/load-graph.ts"
import { addPlanFlags, type PlanFlags, planOptions } from "../io/plan-flags.ts"
import { addSealFlags, type SealPolicy } from "../io/seal-policy.ts"
import { hasColor, jsonText, outFlushed, plain, style } from "../io/terminal.ts"
import { type Exit, UserError } from "../io/user-error.ts"

const HELP = `
Cautions come first, then what to do and what it disturbs. Repairs are steps of the job: the complaint is looked for after
each, and a repair that doesn't hold isn't the end. The job ends when the machine passes its proof run, or is handed over.
Nothing is lost if the terminal closes: the job is kept after each finding, and --resume goes on with it. With --from a job
goes on from its record; if that was finished, the machine has come back, and what was found then is kept.
Exit code 1 if the input ends before the job does.

Examples:
  $ ruleout bench kiosk_dark.graph.json --save kiosk.cases.jsonl
  $ ruleout bench kiosk_dark.graph.json --job bench3.job.json
  $ ruleout bench kiosk_dark.graph.json --resume
  $ ruleout bench kiosk_dark.graph.json --language de
  $ ruleout bench kiosk_dark.graph.json --from kiosk.cases.jsonl --record K-7
  $ printf 'no\\n24.1 V\\nstays\\n' | ruleout bench kiosk.ruleout --json`

interface Options extends LanguageFlags, PlanFlags, SealPolicy {
  readonly save?: string
  readonly id?: string
  readonly job?: string
  readonly resume?: true
  readonly from?: string
  readonly record?: string
  readonly ownerStopsAt?: string
  readonly json?: true
}

export function addBench(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("bench")
    .summary("walk through a job, step by step")
    .description("Leads through a job in the terminal: one step at a time, in any order, with the reasons.")
    .argument("<graph>", "a compiled graph or a ruleset")
    .option("--save <cases>", "append the finished job to this file of recorded cases")
    .option("--id <id>", "the job's id in the record, never a person's name (default: date and time)")
    .option("--job <file>", "keep the job in this file as it goes, and go on with the job that is in it")
    .option("--resume", "go on with the last job that wasn't finished")
    .option("--from <cases>", "go on from a recorded job: the last one in this file")
    .option("--record <id>", "with --from: the job with this id")
  addSealFlags(addPlanFlags(addLanguageFlag(command)))
    .option("--owner-stops-at <amount>", "the most that the owner wants to pay")
    .option("--json", "print the record as JSON; the dialog goes to standard error")
    .addHelpText("after", HELP)
    .action(async (graph: string, options: Options) => done(await bench(graph, options)))
}

async function bench(file: string, options: Options): Promise<Exit> {
  checkOptions(file, options)
  const limit = ownerLimit(options.ownerStopsAt)
  const loaded = await loadPictured(file, planOptions(options), options)
  if (loaded === undefined) return 2
  const shown = { ...loaded, ...spokenIn(loaded.graph, options) }
  const target = options.save === undefined ? undefined : new CaseLog(options.save)
  try {
    return await job(shown, target, options, limit)
  } finally {
    target?.close()
  }
}

async function job(
  shown: PicturedGraph & Spoken,
  target: CaseLog | undefined,
  options: Options,
  limit: number | undefined,
): Promise<Exit> {
  const { graph, words } = shown
  const output = options.json ? process.stderr : process.stdout
  const paint = style(hasColor(output))
  const kept = new KeptJob(graph, options, words)
  const begun =
    options.from === undefined ? open(graph) : sessionFromRecord(graph, options.from, options.record)
  const session = kept.read() ?? begun
  const terms = { ...kept.terms, ...(limit === undefined ? {} : { ownerStopsAt: limit }) }
  const owner = new OwnerTalk(graph, terms, words)
  const lines = new Lines(output)
  try {
    const dialog = new Dialog({ ...shown, paint }, session, lines, owner, (changed) => {
      const warning = kept.keep(changed, owner.terms)
      if (warning !== undefined) lines.say(paint.warn(`  ${warning}`))
    })
    const outcome = await dialog.run()
    if (outcome.end === "done") {
      await finish(outcome, owner.terms, { target, options, lines, words })
      kept.remove()
      return 0
    }
    const fate = kept.fate(outcome.session)
    lines.say(
      outcome.end === "stopped"
        ? plain(words.say(m.stopped, { fate }))
        : paint.warn(words.say(m.inputEnded, { fate })),
    )
    return outcome.end === "stopped" ? 0 : 1
  } finally {
    lines.close()
  }
}

function checkOptions(file: string, options: Options): void {
  const { job, from, resume } = options
  if (file === "-" || from === "-")
    throw new UserError(
      "Only the answers can come from standard input here.",
      file === "-" ? "Name the graph's file." : "Name the file of cases.",
    )
  checkRecordFlags(options)
  if ([job, from, resume].filter((each) => each !== undefined).length > 1)
    throw new UserError("Use one of --job, --resume and --from.", "A job that is kept goes on by itself.")
}

interface Ending {
  readonly target: CaseLog | undefined
  readonly options: Options
  readonly lines: Lines
  readonly words: Words
}

/** Saves the job as asked for, and prints it. */
async function finish(
  { session, faults, proved }: Outcome & { end: "done" },
  terms: Terms,
  { target, options, lines, words }: Ending,
): Promise<void> {
  const record = withTerms(recordOf(session, faults, proved, options.id), terms)
  if (target !== undefined && options.save !== undefined)
    try {
      target.append(JSON.stringify(record))
      const file = displayName(options.save)
      lines.say(plain(words.say(m.savedAs, { id: record.id, file })))
    } catch (error) {
      // The record is all that there is of the job's end.
      lines.say(words.say(m.couldNotBeSaved), plain(JSON.stringify(record)))
      throw error
    }
  if (options.json) await outFlushed(jsonText(record))
}

function recordOf(session: Session, faults: readonly string[], proved: boolean, id: string | undefined) {
  const now = new Date().toISOString()
  return session.record({
    id: id ?? `B-${now.slice(0, 19).replaceAll(/[-:]/g, "").replace("T", "-")}`,
    date: now.slice(0, 10),
    ...(faults.length > 0 ? { faults } : {}),
    ...(proved ? { confirmed: "proof" } : {}),
    cameBack: false,
  })
}
