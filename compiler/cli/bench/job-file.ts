import { rmSync } from "node:fs"
import { type Entry, type Graph, RunError, reopen, type Session } from "../../run/index.ts"
import { displayName, readIfThere, writeFile } from "../io/files.ts"
import { UserError } from "../io/user-error.ts"

const FORMAT = "ruleout-job/1"

/** The log of a job that isn't finished, in a file, so that a terminal that closes loses nothing. */
export class JobFile {
  readonly #path: string
  readonly #graph: Graph

  constructor(path: string, graph: Graph) {
    this.#path = path
    this.#graph = graph
  }

  /** Undefined if there is no such file. @throws UserError if it isn't a job of this ruleset */
  read(): Session | undefined {
    const text = readIfThere(this.#path)
    if (text.trim() === "") return undefined
    const { name } = this.#graph.ruleset
    try {
      const job = JSON.parse(text) as { format?: unknown; ruleset?: unknown; log?: readonly Entry[] } | null
      if (job?.format !== FORMAT || job.ruleset !== name || !Array.isArray(job.log)) throw new SyntaxError()
      return reopen(this.#graph, job.log)
    } catch (error) {
      const why = error instanceof RunError ? `: ${error.message}` : "."
      if (!(error instanceof RunError || error instanceof SyntaxError)) throw error
      throw new UserError(
        `${displayName(this.#path)} isn't a job of \`${name}\`${why}`,
        "Name another file with --job, or remove this one to begin a new job.",
      )
    }
  }

  write({ log }: Session): void {
    const job = { format: FORMAT, ruleset: this.#graph.ruleset.name, log }
    writeFile(this.#path, `${JSON.stringify(job)}\n`)
  }

  /** The job is over. */
  remove(): void {
    rmSync(this.#path, { force: true })
  }
}
