import { markup } from "../../ship/escaping.ts"

/** One thing that was tested. */
export interface JunitCase {
  readonly name: string
  readonly file: string
  /** From 1. */
  readonly line: number
  readonly failures: readonly { readonly type: string; readonly message: string; readonly text: string }[]
}

export interface JunitSuite {
  readonly name: string
  readonly cases: readonly JunitCase[]
}

/** Results as the XML that build servers read, by the schema that JUnit's own Ant task writes (`JUnit.xsd`). */
export function junitText(suites: readonly JunitSuite[]): string {
  const all = suites.flatMap(({ cases }) => cases)
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<testsuites name="ruleout" ${counts(all)}>`,
    ...suites.flatMap(({ name, cases }) => [
      `  <testsuite name="${markup(name)}" ${counts(cases)}>`,
      ...cases.flatMap(caseLines),
      "  </testsuite>",
    ]),
    "</testsuites>\n",
  ].join("\n")
}

function counts(cases: readonly JunitCase[]): string {
  const failed = cases.filter(({ failures }) => failures.length > 0)
  return `tests="${cases.length}" failures="${failed.length}" errors="0"`
}

function caseLines({ name, file, line, failures }: JunitCase): string[] {
  const head = `    <testcase name="${markup(name)}" classname="${markup(file)}" file="${markup(file)}" line="${line}"`
  if (failures.length === 0) return [`${head}/>`]
  return [
    `${head}>`,
    ...failures.map(
      ({ type, message, text }) =>
        `      <failure type="${markup(type)}" message="${markup(message)}">${markup(text)}</failure>`,
    ),
    "    </testcase>",
  ]
}
