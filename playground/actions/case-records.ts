import { linesOf } from "../../compiler/cases/record/lines.ts"
import type { Recorded } from "../../compiler/run/index.ts"
import { storedCaseFile } from "../state/store.ts"
import { caseFileOf, casesState, putCases, recordLines } from "./case-file.ts"

/** Single jobs in a case file: read, and added. */

/** The record in a line of the cases, counted from 1; undefined where it isn't one. */
export function recordIn(line: number): Recorded | undefined {
  try {
    const found = [...linesOf(casesState.value.text)].find(({ n }) => n === line)
    return JSON.parse(found?.line ?? "") as Recorded
  } catch {
    return undefined
  }
}

/** Adds a finished job to the case file of its ruleset; a record of the same id takes the place of the older one. */
export async function addRecord(ruleset: string, record: Recorded): Promise<void> {
  // Another tab may have added to it since.
  const { name = "", text = "" } = (await storedCaseFile(ruleset)) ?? (await caseFileOf(ruleset)) ?? {}
  const lines = recordLines(text).filter((line) => idOf(line) !== record.id)
  await putCases(ruleset, name || `${ruleset}.cases.jsonl`, [...lines, JSON.stringify(record)].join("\n"))
}

/** The records in the case file of a ruleset, the last first; what isn't a record is left out. */
export async function recordsOf(ruleset: string): Promise<Recorded[]> {
  const file = await caseFileOf(ruleset)
  return recordLines(file?.text ?? "")
    .flatMap((line) => (idOf(line) === undefined ? [] : [JSON.parse(line) as Recorded]))
    .reverse()
}

function idOf(line: string): unknown {
  try {
    return (JSON.parse(line) as { id?: unknown }).id
  } catch {
    return undefined
  }
}
