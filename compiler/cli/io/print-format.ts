/** Diagnostics in the formats of other tools. */
import { sarif } from "../../check/sarif.ts"
import type { Diagnostic } from "../../diagnostics/diagnostic.ts"
import { lineAndColumn } from "../../diagnostics/line-index.ts"
import { VERSION } from "../../version.ts"
import type { Format } from "./format-flag.ts"
import { githubText } from "./github-text.ts"
import { type JunitSuite, junitText } from "./junit-text.ts"
import { out, outJson, plain } from "./terminal.ts"

/** Prints them, and says whether it did: text and JSON are each command's own. `suites`: the same as tests. */
export function printForTools(
  format: Format,
  diagnostics: readonly Diagnostic[],
  sources: ReadonlyMap<string, string>,
  suites: () => readonly JunitSuite[],
): boolean {
  if (format === "sarif") outJson(sarif(diagnostics, sources, VERSION))
  else if (format === "github") out(plain(githubText(diagnostics, sources)))
  else if (format === "junit") out(junitText(suites()))
  else return false
  return true
}

/** Each problem as a test that failed; notes are none. Without any, one test that passed. */
export function suiteOfProblems(
  file: string,
  diagnostics: readonly Diagnostic[],
  sources: ReadonlyMap<string, string>,
): JunitSuite {
  const cases = diagnostics
    .filter(({ severity }) => severity !== "note")
    .map(({ code, message, help = "", span }) => ({
      name: code,
      file: span.file,
      line: lineAndColumn(sources.get(span.file) ?? "", span.start).line,
      failures: [{ type: code, message, text: help }],
    }))
  const clean = { name: "no problems", file, line: 1, failures: [] }
  return { name: file, cases: cases.length > 0 ? cases : [clean] }
}
