import { linesOf } from "../../cases/record/lines.ts"
import { type Graph, type Recorded, RunError, reopen, type Session } from "../../run/index.ts"
import { displayName, LARGEST_CASES, readText } from "../io/files.ts"
import { UserError } from "../io/user-error.ts"

/** @throws UserError where a job of a file of cases is named, and no file */
export function checkRecordFlags({
  record,
  from,
}: {
  readonly record?: string
  readonly from?: string
}): void {
  if (record !== undefined && from === undefined)
    throw new UserError("--record picks a job of a file of cases.", "Name the file with --from.")
}

/**
 * Goes on from a recorded job: where it stopped, or if it was finished, as another job of the machine, which has come
 * back.
 *
 * @throws UserError if there is no such record, or it isn't one of this ruleset
 */
export function sessionFromRecord(graph: Graph, file: string, id: string | undefined): Session {
  const record = recordIn(file, id)
  try {
    const session = reopen(graph, record)
    return session.next.do === "end" ? session.cameBack() : session
  } catch (error) {
    if (!(error instanceof RunError)) throw error
    throw new UserError(`The job can't be reopened from ${displayName(file)}: ${error.message}`)
  }
}

function recordIn(file: string, id: string | undefined): Recorded {
  for (const { line, n } of [...linesOf(readText(file, LARGEST_CASES))].reverse()) {
    if (line.trim() === "") continue
    const record = parsed(line, file, n)
    if (id === undefined || record.id === id) return record
  }
  throw new UserError(
    id === undefined
      ? `${displayName(file)} has no recorded job.`
      : `${displayName(file)} has no job with the id \`${id}\`.`,
  )
}

function parsed(line: string, file: string, number: number): Recorded {
  try {
    return JSON.parse(line) as Recorded
  } catch {
    throw new UserError(
      `Line ${number} of ${displayName(file)} isn't a recorded job.`,
      "Each case is one line of JSON.",
    )
  }
}
