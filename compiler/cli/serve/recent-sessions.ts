import { createHash } from "node:crypto"
import { LruMap } from "toad-cache"
import {
  type Answer,
  type Beside,
  type Entry,
  type Outlook,
  RunError,
  type Session,
  type Step,
  type Suspect,
} from "../../run/index.ts"
import type { Machine } from "../../run/machine.ts"
import { onRecord } from "../../run/record.ts"
import { afterEntry } from "../../run/reopen.ts"
import { sessionOf } from "../../run/session.ts"
import type { MachineStatus } from "../../run/session-types.ts"
import { canonicalJson } from "../../ship/canonical-json.ts"
import { Problem } from "./problem.ts"

/** As a session's log has it, or what was found in the step that comes next. */
export type SentEntry = Entry | ({ readonly answer: Answer } & Beside)

/** What a session says of its job now, as plain data. */
export interface SessionView {
  readonly step: Step
  readonly outlook: Outlook
  readonly suspects: readonly Suspect[]
  readonly standing: MachineStatus
}

/** A session of a large ruleset takes 160 kB. */
const MOST = 400
/** A view of one takes 15 kB, seldom 40. */
const MOST_VIEWS = 2000

/**
 * Sessions of a graph by their log. Those that were asked for lately are at hand: a log that goes on from one isn't gone
 * through from its beginning. No answer depends on that, so any process can give it.
 */
export class RecentSessions {
  readonly #machine: Machine
  readonly #start: Session
  readonly #recent = new LruMap<Session>(MOST)
  readonly #views = new LruMap<SessionView>(MOST_VIEWS)

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
    if (done === log.length && undo === undefined) return known
    const session = log
      .slice(done)
      .reduce((so, entry, i) => blaming(done + i, () => this.#entered(so, entry)), known)
    const result = undo === undefined ? session : blaming(undo, () => session.undo(undo))
    // What stands before the first new entry, or the one taken back, is in both logs, and its key is known.
    const same = Math.min(done, undo ?? done)
    this.#recent.set(keysOf(result.log.slice(same), keys[same]).at(-1), result)
    return result
  }

  /**
   * A log as the next request sends it, and what there is to be said of it. Worked out once for all jobs in which the same was
   * done and found: most begin alike. @throws Problem where the log can't be one of this graph
   */
  told(
    sent: readonly SentEntry[],
    undo?: number,
  ): { readonly log: readonly Entry[]; readonly view: SessionView } {
    const bare = undo === undefined ? this.after(sent.map(withoutRemarks)) : undefined
    // That a machine came back is said once, however often it is sent.
    if (bare?.log.length !== sent.length) {
      const session = this.after(sent, undo)
      return { log: session.log, view: this.#view(session) }
    }
    const remarked = (entry: Entry, i: number) => {
      const remarks = sent[i]
      return "act" in entry && remarks && !("cannot" in remarks || "cameBack" in remarks)
        ? { ...entry, ...onRecord(remarks) }
        : entry
    }
    return { log: bare.log.map(remarked), view: this.#view(bare) }
  }

  #view(session: Session): SessionView {
    const key = hashOf(canonicalJson(session.log.map(withoutWords)))
    const known = this.#views.get(key)
    if (known) return known
    const { next: step, outlook, candidates: suspects, standing } = session
    const view: SessionView = JSON.parse(JSON.stringify({ step, outlook, suspects, standing }))
    this.#views.set(key, view)
    return view
  }

  #entered(session: Session, entry: SentEntry): Session {
    return "answer" in entry ? session.answer(entry.answer, entry) : afterEntry(this.#machine, session, entry)
  }
}

/** Without what goes on record beside it, as the minutes. */
function withoutRemarks<E extends SentEntry>(entry: E): E {
  const { minutes: _, taken: __, ...rest } = entry as E & Beside
  return rest as E
}

/** Without the words in which a value was given: its cell counts. */
function withoutWords(entry: Entry): Entry {
  if (!("act" in entry)) return entry
  const { said: _, ...rest } = withoutRemarks(entry)
  return rest
}

/** A key for what comes before the log, and one for each further entry. */
function keysOf(log: readonly SentEntry[], before = ""): string[] {
  const keys = [before]
  for (const entry of log) keys.push(hashOf(`${keys.at(-1)}${canonicalJson(entry)}`))
  return keys
}

function hashOf(text: string): string {
  return createHash("sha256").update(text).digest("base64")
}

function blaming<T>(entry: number, work: () => T): T {
  try {
    return work()
  } catch (error) {
    throw error instanceof RunError ? new Problem(error.code, 422, error.message, entry) : error
  }
}
