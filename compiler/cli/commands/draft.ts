/** Reads a table of cases whole, and drafts a ruleset from it. */
import { basename } from "node:path"
import { type Draft, draft } from "../../cases/fit/draft.ts"
import { nameFrom } from "../../cases/table/columns.ts"
import { openRecords } from "../io/case-files.ts"
import { nameOf } from "../io/files.ts"
import { Trouble } from "../io/user-error.ts"

export async function draftFrom(file: string, weight: number, digits: number): Promise<Draft> {
  const records = await openRecords(file, true)
  const rows: (readonly string[])[] = []
  for await (const batch of records.batches) if (batch.kind === "rows") rows.push(...batch.rows)
  const name = file === "-" ? "drafted" : nameFrom(basename(file).replace(/(\.cases)?\.\w+$/, ""))
  try {
    return draft({ header: records.header ?? [], rows }, { name, weight, digits })
  } catch (problem) {
    if (!(problem instanceof RangeError)) throw problem
    throw new Trouble(
      `${nameOf(file)} cannot be drafted from: ${problem.message}`,
      "A column named `fault` says what each case turned out to be.",
    )
  }
}
