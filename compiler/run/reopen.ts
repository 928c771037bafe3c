import { actionOf, readsOf } from "./acts.ts"
import { RunError } from "./error.ts"
import type { Machine } from "./machine.ts"
import { actsIn, onRecord } from "./record.ts"
import { sessionOf } from "./session.ts"
import type { Answer, Done, Entry, Recorded, Session } from "./session-types.ts"

export type Past = readonly Entry[] | Recorded

/** The session of a machine after these jobs of it. @throws RunError where one isn't a log or record of the ruleset. */
export function sessionAfter(m: Machine, past: readonly Past[]): Session {
  let session = sessionOf(m, [])
  past.forEach((each, i) => {
    if (i > 0) session = cameBack(m, session)
    session = isLog(each) ? replayed(m, session, each) : afterRecord(session, each)
  })
  const last = past.at(-1)
  return last && !isLog(last) && last.came_back ? cameBack(m, session) : session
}

function isLog(past: Past): past is readonly Entry[] {
  return Array.isArray(past)
}

/** Unless the log says so itself. A record may end without the proof run. */
function cameBack(m: Machine, { log }: Session): Session {
  const last = log.at(-1)
  return sessionOf(m, last && "cameBack" in last ? log : [...log, { cameBack: true }])
}

function afterRecord(session: Session, record: Recorded): Session {
  if (typeof record !== "object" || record === null || !Array.isArray(record.steps))
    throw new RunError("answer", "A job is reopened from its log or its record.")
  return actsIn(record).reduce((so, { act, found, beside }) => so.find(act, found, beside), session)
}

function replayed(m: Machine, session: Session, log: readonly Entry[]): Session {
  return log.reduce((so, entry) => afterEntry(m, so, entry), session)
}

/** @throws RunError where the entry can't be one of this session's log */
export function afterEntry(m: Machine, session: Session, entry: Entry): Session {
  if ("cameBack" in entry) return cameBack(m, session)
  if ("cannot" in entry) return session.cannot(entry.cannot)
  const { act, leftIn = false } = entry
  return session.find(act, answerIn(m, entry), { ...onRecord(entry), leftIn })
}

/** What was said, where the log has it: the cells of a graph that was compiled anew may be others. */
function answerIn(m: Machine, { act, found, said }: Done): Answer {
  if (!said) return found
  const names = readsOf(m, actionOf(m, act)).map((reading) => m.readings[reading]!.name)
  return Object.fromEntries(names.map((name, i) => [name, said[i] ?? ""]))
}
