import { createHash } from "node:crypto"
import { LruMap } from "toad-cache"
import { type Answer, type Beside, type Entry, RunError, type Session } from "../../run/index.ts"
import type { Machine } from "../../run/machine.ts"
import { afterEntry } from "../../run/reopen.ts"
import { sessionOf } from "../../run/session.ts"
import { canonicalJson } from "../../ship/canonical-json.ts"
import { Problem } from "./problem.ts"

/** As a session's log has it, or what was found in the step that comes next. */
export type SentEntry = Entry | ({ readonly answer: Answer } & Beside)

/** A session of a large ruleset takes 160 kB. */
const MOST = 400

/**
 * Sessions of a graph by their log. Those that were asked for lately are at hand: a log that goes on from one isn't gone
 * through from its beginning. No answer depends on that, so any process can give it.
 */
export class RecentSessions {
  readonly #machine: Machine
  readonly #start: Session
  readonly #recent = new LruMap<Session>(MOST)

  constructor(machine: Machine) {
    this.#machine = machine
    this.#start = sessionOf(machine, [])
  }

  /** `undo`: a step of the log to take back. @throws Problem where the log can't be one of this graph */
  after(log: readonly SentEntry[], undo?: number): Session {
    const keys = keysOf(log)
    let done = log.length
    while (done > 0 && !this.#recent.get(keys[done])) done--
    const known = this.#recent.get(keys[done]) ?? this.#start
    const session = log
      .slice(done)
      .reduce((so, entry, i) => blaming(done + i, () => this.#entered(so, entry)), known)
    const result = undo === undefined ? session : blaming(undo, () => session.undo(undo))
    this.#recent.set(keysOf(result.log).at(-1), result)
    return result
  }

  #entered(session: Session, entry: SentEntry): Session {
    return "answer" in entry ? session.answer(entry.answer, entry) : afterEntry(this.#machine, session, entry)
  }
}

/** A key for the empty log, and one for each further entry. */
function keysOf(log: readonly SentEntry[]): string[] {
  const keys = [""]
  for (const entry of log)
    keys.push(
      createHash("sha256")
        .update(`${keys.at(-1)}${canonicalJson(entry)}`)
        .digest("base64"),
    )
  return keys
}

function blaming<T>(entry: number, work: () => T): T {
  try {
    return work()
  } catch (error) {
    throw error instanceof RunError ? new Problem(error.code, 422, error.message, entry) : error
  }
}
