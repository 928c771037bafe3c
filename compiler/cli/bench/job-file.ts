import { readdirSync, rmSync, statSync } from "node:fs"
import { dirname, join } from "node:path"
import { type Entry, type Graph, RunError, reopen, type Session } from "../../run/index.ts"
import type { Terms } from "../../ship/sheets/terms.ts"
import { displayName, LARGEST_SOURCE, readError, readIfThere } from "../io/files.ts"
import { claimPath, rewrite } from "../io/output.ts"
import { UserError } from "../io/user-error.ts"

const FORMAT = "ruleout-job/1"
const ENDING = ".job.json"

interface KeptJob {
  readonly format: typeof FORMAT
  readonly ruleset: string
  /** The process that is at it. */
  readonly process?: number
  readonly log: readonly Entry[]
  /** What was agreed with the owner. */
  readonly terms?: Terms
}

/**
 * The log of a job that isn't finished, in a file, written after each finding: a terminal that closes, a kill or a loss
 * of power lose nothing that was found.
 */
export class JobFile {
  readonly path: string
  readonly #graph: Graph
  /** What the job that was read has. */
  terms: Terms = {}

  constructor(path: string, graph: Graph) {
    this.path = path
    this.#graph = graph
    claimPath(path)
  }

  /** Undefined if there is no such file. @throws UserError if it isn't a job of this ruleset */
  read(): Session | undefined {
    const text = readIfThere(this.path, LARGEST_SOURCE)
    if (text.trim() === "") return undefined
    const { name } = this.#graph.ruleset
    try {
      const job = keptIn(text)
      if (job?.ruleset !== name) throw new SyntaxError()
      this.terms = job.terms ?? {}
      return reopen(this.#graph, job.log)
    } catch (error) {
      const why = error instanceof RunError ? `: ${error.message}` : "."
      if (!(error instanceof RunError || error instanceof SyntaxError)) throw error
      throw new UserError(
        `${displayName(this.path)} isn't a job of \`${name}\`${why}`,
        "Name another file with --job, or remove this one to begin a new job.",
      )
    }
  }

  /** @throws UserError where the file can't be written */
  write({ log }: Pick<Session, "log">, terms: Terms): void {
    const { name } = this.#graph.ruleset
    const job: KeptJob = { format: FORMAT, ruleset: name, process: process.pid, log, terms }
    rewrite(this.path, `${JSON.stringify(job)}\n`)
  }

  /** The job is over. */
  remove(): void {
    rmSync(this.path, { force: true })
  }
}

/** A name that nothing has yet, for a job that nobody named a file for. */
export function freshJobFile(folder: string, graph: Graph): JobFile {
  const stem = stemOf(graph)
  const taken = new Set(namesIn(folder))
  for (let n = 1; ; n++) {
    const name = `${stem}${n === 1 ? "" : `-${n}`}${ENDING}`
    if (!taken.has(name)) return new JobFile(join(folder, name), graph)
  }
}

/** The job to go on with: the last one of this ruleset that no other terminal is at. @throws UserError if there is none */
export function lastJobFile(folder: string, graph: Graph): JobFile {
  const { name } = graph.ruleset
  const jobs = namesIn(folder)
    .filter((file) => file.startsWith(stemOf(graph)) && file.endsWith(ENDING))
    .map((file) => join(folder, file))
    .flatMap((path) => {
      const job = keptIn(readIfThere(path, LARGEST_SOURCE))
      return job?.ruleset === name ? [{ path, job, at: statSync(path).mtimeMs }] : []
    })
    .sort((a, b) => b.at - a.at)
  const free = jobs.find(({ job }) => !isRunning(job.process))
  if (free) return new JobFile(free.path, graph)
  const [busy] = jobs
  if (busy)
    throw new UserError(
      `The job in ${displayName(busy.path)} is open in another terminal.`,
      "If it isn't, name its file with --job.",
    )
  throw new UserError(
    `There is no unfinished job of \`${name}\` in ${displayName(folder === "" ? "." : folder)}.`,
    "A job is kept in the current folder, or beside the file that --save names.",
  )
}

/** The job that a text holds; undefined where it holds none. */
function keptIn(text: string): KeptJob | undefined {
  try {
    const job = JSON.parse(text) as KeptJob | null
    return job?.format === FORMAT && Array.isArray(job.log) ? job : undefined
  } catch {
    return undefined
  }
}

/** A graph from elsewhere could have any name. */
function stemOf({ ruleset: { name } }: Graph): string {
  return /^[\w-]{1,80}$/.test(name) ? name : "bench"
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder === "" ? "." : folder)
  } catch (error) {
    throw readError(folder, error)
  }
}

function isRunning(id: number | undefined): boolean {
  if (id === undefined || id === process.pid) return false
  try {
    process.kill(id, 0)
    return true
  } catch (error) {
    // It runs, and is somebody else's.
    return (error as { code?: string }).code === "EPERM"
  }
}

/** Where jobs are kept that nobody named a file for. */
export function jobFolder(save: string | undefined): string {
  return save === undefined ? "." : dirname(save)
}
