import { readFileSync } from "node:fs"
import { join } from "node:path"
import Ajv from "ajv"

/**
 * The schema of SARIF 2.1.0 as OASIS approved it (rtm.5), copied from the npm package @microsoft/jest-sarif 1.0.0-beta.0.
 * It is JSON Schema draft 4; draft 7, which the validator reads, differs for what is used here in the name of `id` alone.
 */
export function sarifValidator() {
  const text = readFileSync(join(import.meta.dirname, "../check/sarif-2.1.0-rtm.5.json"), "utf8")
  const { id, $schema: _, ...schema } = JSON.parse(text)
  return new Ajv({ strict: false, validateFormats: false, unicodeRegExp: false, allErrors: true }).compile({
    ...schema,
    $id: id,
  })
}
