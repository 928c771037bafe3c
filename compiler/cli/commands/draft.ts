/** Reads a whole table of cases, and drafts a ruleset from it. */
import { basename } from "node:path"
import { type Draft, draft } from "../../cases/fit/draft.ts"
import { nameFrom } from "../../cases/table/columns.ts"
import { openCaseFile } from "../io/case-files.ts"
import { displayName } from "../io/files.ts"
import { UserError } from "../io/user-error.ts"

export async function draftFrom(file: string, weight: number, digits: number): Promise<Draft> {
  const caseFile = await openCaseFile(file, true)
  const rows: (readonly string[])[] = []
  for await (const batch of caseFile.batches) if (batch.kind === "rows") rows.push(...batch.rows)
  const name = file === "-" ? "drafted" : nameFrom(basename(file).replace(/(\.cases)?\.\w+$/, ""))
  try {
    return draft({ header: caseFile.header ?? [], rows }, { name, weight, digits })
  } catch (error) {
    if (!(error instanceof RangeError)) throw error
    throw new UserError(
      `${displayName(file)} can't be used for a draft: ${error.message}`,
      "A column named `fault` says what each case turned out to be.",
    )
  }
}
