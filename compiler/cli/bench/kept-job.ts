/** A job as it goes: kept after each finding, saved at its end. */
import type { Graph, Session } from "../../run/index.ts"
import type { Terms } from "../../ship/sheets/terms.ts"
import * as m from "../../wording/compiled/terminal.ts"
import type { Words } from "../../wording/words.ts"
import { displayName } from "../io/files.ts"
import { UserError } from "../io/user-error.ts"
import { freshJobFile, JobFile, jobFolder, lastJobFile } from "./job-file.ts"

export interface KeepOptions {
  readonly job?: string
  readonly resume?: true
  readonly save?: string
}

export class KeptJob {
  readonly #graph: Graph
  readonly #options: KeepOptions
  readonly #words: Words
  #file: JobFile | undefined
  /** Why the job isn't kept any more. */
  #failure: UserError | undefined

  constructor(graph: Graph, options: KeepOptions, words: Words) {
    this.#graph = graph
    this.#words = words
    this.#options = options
    const { job, resume, save } = options
    if (job !== undefined) this.#file = new JobFile(job, graph)
    else if (resume) this.#file = lastJobFile(jobFolder(save), graph)
  }

  /** The job to go on with; undefined where a new one begins. @throws UserError where the file can't be used */
  read(): Session | undefined {
    const session = this.#file?.read()
    if (this.#file !== undefined) this.#file.write(session ?? { log: [] }, this.terms)
    return session
  }

  /** What was agreed on the job that was read. */
  get terms(): Terms {
    return this.#file?.terms ?? {}
  }

  /** Never throws: a job doesn't end because it can't be kept. Returns what is to be said of that, once. */
  keep(session: Session, terms: Terms): string | undefined {
    if (this.#failure) return undefined
    try {
      this.#file ??= freshJobFile(jobFolder(this.#options.save), this.#graph)
      this.#file.write(session, terms)
      return undefined
    } catch (error) {
      if (!(error instanceof UserError)) throw error
      this.#failure = error
      return this.#words.say(m.cannotBeKept, { why: error.message })
    }
  }

  /** What becomes of a job that stops here; nothing is left of one in which nothing was found. */
  fate({ log }: Session): string {
    const words = this.#words
    if (log.length === 0) {
      this.remove()
      return words.say(m.nothingToKeep)
    }
    if (this.#failure || this.#file === undefined) return words.say(m.nothingSaved)
    const file = displayName(this.#file.path)
    return words.say(this.#options.job === undefined ? m.keptInResume : m.keptIn, { file })
  }

  remove(): void {
    this.#file?.remove()
  }
}
