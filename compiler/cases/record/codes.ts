import type { CodeText } from "../../check/code.ts"

export type CaseCode = keyof typeof CASE_CODES

/**
 * Every code that reading recorded cases can report, in the order of its page. Codes are part of the interface: once
 * published, they stay. An example is a line of cases. Its severity is that of the example: what makes the whole line
 * unusable is an error under every code.
 */
export const CASE_CODES = {
  "case-json": {
    severity: "error",
    summary: "A line is not valid JSON, so nothing can be read from it.",
    explain: `Each job is one line of JSON. This line is skipped; the others are used. Usual causes are an extra comma, the wrong
kind of quotes, or a record that an editor has spread over several lines. The caret shows where reading stopped.`,
    example: `{"id":"G-1","steps":[{"test":"meter_rail","found":"21.4 V"},],"faults":["board_dead"]}`,
    fixed: `{"id":"G-1","steps":[{"test":"meter_rail","found":"21.4 V"}],"faults":["board_dead"]}`,
  },
  "case-shape": {
    severity: "warning",
    summary: "A record or a step is missing a part that it needs.",
    explain: `A record has an \`id\` and, in \`steps\`, what was done in its order. Each step says what was done (\`test\`, \`putBack\`, \`takeOut\`, \`keep\`,
\`replace\`, \`fix\`, \`look\`, \`close\` or \`handOver\`) and what was \`found\`. A step that says less is left out, but its minutes
count; the steps after it are then judged with fewer findings than the bench had. A line that is not a record, or has no \`id\`, is an error
and is not used.`,
    example: `{"id":"G-2","steps":[{"found":"gone","minutes":4}],"faults":["plug_loose"]}`,
    fixed: `{"id":"G-2","steps":[{"test":"reseat_plug","found":"gone","minutes":4}],"faults":["plug_loose"]}`,
  },
  "case-field": {
    severity: "warning",
    summary: "A field is not known, and its name is close to one that is.",
    explain: `A shop may add fields of its own; they are ignored. A name that is close to a known one is usually a typing error, and its
content is lost: here the job would have no steps at all.`,
    example: `{"id":"G-3","step":[{"test":"listen_hum","found":"no"}],"faults":["motor_open"]}`,
    fixed: `{"id":"G-3","steps":[{"test":"listen_hum","found":"no"}],"faults":["motor_open"]}`,
  },
  "case-complaint": {
    severity: "warning",
    summary: "The complaint of a case isn't the ruleset's.",
    explain: `A ruleset is about one complaint. The case still counts, but this ruleset probably can't get it right, and its figures look
worse than they are. Replay such jobs on the ruleset for their complaint. If only the name differs, correct the name.`,
    example: `{"id":"G-4","complaint":"arm_drops","steps":[],"faults":["gear_held"]}`,
    fixed: `{"id":"G-4","complaint":"stuck","steps":[],"faults":["gear_held"]}`,
  },
  "case-fault": {
    severity: "warning",
    summary: "A fault is not one that the ruleset lists, or a case has more than two.",
    explain: `Either the name has a typing error, or the shop has met a fault that the ruleset does not list. Then only handing over is
right for this case, and its fault counts as \`unlisted\`; write \`"faults":["unlisted"]\` where that is meant. If such jobs become
frequent, add the fault to the ruleset. A ruleset knows of two faults at most in one machine.`,
    example: `{"id":"G-5","steps":[{"test":"listen_hum","found":"no"}],"faults":["motor_opn"]}`,
    fixed: `{"id":"G-5","steps":[{"test":"listen_hum","found":"no"}],"faults":["motor_open"]}`,
  },
  "case-test": {
    severity: "warning",
    summary: "A step names a test that the ruleset does not have.",
    explain: `The step is left out; its minutes count. If the test was renamed, write its new name in the record. A finding that came
from somewhere else can stand in a step without a \`test\`, by the names of its readings.`,
    example: `{"id":"G-6","steps":[{"test":"measure_supply","found":{"rail":"21.4 V"}}],"faults":["board_dead"]}`,
    fixed: `{"id":"G-6","steps":[{"found":{"rail":"21.4 V"}}],"faults":["board_dead"]}`,
  },
  "case-part": {
    severity: "warning",
    summary: "A step handles a part that the ruleset does not have, or that no test swaps.",
    explain: `An old part goes back, a known-good one stays in or comes out, only where a test \`swaps\` that part. Any part of the
ruleset can be replaced by a new one. The step is left out; its minutes count.`,
    example: `{"id":"G-7","steps":[{"test":"try_board","found":"gone"},{"putBack":"motor","found":"stays"}]}`,
    fixed: `{"id":"G-7","steps":[{"test":"try_board","found":"gone"},{"putBack":"board","found":"stays"}]}`,
  },
  "case-reading": {
    severity: "warning",
    summary: "A finding is of a reading that the ruleset does not have.",
    explain: `The finding is left out; the others of the step are used. Correct the name, or declare the reading in the ruleset if it
is worth looking at.`,
    example: `{"id":"G-8","steps":[{"test":"listen_hum","found":{"hum":"no","click":"no"}}],"faults":["motor_open"]}`,
    fixed: `{"id":"G-8","steps":[{"test":"listen_hum","found":{"hum":"no"}}],"faults":["motor_open"]}`,
  },
  "case-value": {
    severity: "warning",
    summary: "A value is not allowed in its place.",
    explain: `A number outside the range of its reading or in a unit that does not measure it, a word that is not one of its values, a look
for the complaint that found neither \`gone\` nor \`stays\`, a proof run that neither \`holds\` nor \`fails\`; or minutes, a date, or a yes or no
that isn't one. The message says what is left out or used instead. Often a decimal point was lost. If such values are real, the range of
the reading is too narrow.`,
    example: `{"id":"G-9","steps":[{"test":"meter_rail","found":"214 V"}],"faults":["board_dead"]}`,
    fixed: `{"id":"G-9","steps":[{"test":"meter_rail","found":"21.4 V"}],"faults":["board_dead"]}`,
  },
} as const satisfies Record<string, Omit<CodeText, "code">>
