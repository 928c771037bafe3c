import type { CodeText } from "../../check/code.ts"

export type CaseCode = keyof typeof CASE_CODES

/**
 * Every code that reading recorded cases can report, in the order of its page. Codes are part of the interface: once
 * published, they stay. An example is a line of cases; its severity is that of the example, since what costs the whole line
 * is an error under every code.
 */
export const CASE_CODES = {
  "case-json": {
    severity: "error",
    summary: "A line is not JSON, so that nothing can be read from it.",
    explain: `Each job is one line of JSON. The line is not used, all others are. Mostly it is a comma too many, quotes of the wrong
kind, or one record that an editor has laid out over several lines. The caret stands where reading stopped.`,
    example: `{"id":"G-1","steps":[{"test":"meter_rail","found":"21.4 V"},],"fault":"board_dead"}`,
    fixed: `{"id":"G-1","steps":[{"test":"meter_rail","found":"21.4 V"}],"fault":"board_dead"}`,
  },
  "case-shape": {
    severity: "warning",
    summary: "A record, or a step of it, lacks what it cannot do without.",
    explain: `A record has an \`id\` and, in \`steps\`, what was done in its order: each step its \`test\`, or the part that was \`putBack\`, and
what was \`found\`. A step that says less is left out, its minutes are counted; what came after it is then judged on fewer
findings than the bench had. A line that is no record, or has no \`id\`, is an error and is not used.`,
    example: `{"id":"G-2","steps":[{"found":"gone","minutes":4}],"fault":"plug_loose"}`,
    fixed: `{"id":"G-2","steps":[{"test":"reseat_plug","found":"gone","minutes":4}],"fault":"plug_loose"}`,
  },
  "case-field": {
    severity: "warning",
    summary: "A field is not known, and its name is nearly one that is.",
    explain: `What a shop adds in fields of its own is welcome and left alone. A name that is nearly one of ours is mostly a slip, and what
stands in it counts for nothing: here the job would be one without any step.`,
    example: `{"id":"G-3","step":[{"test":"listen_hum","found":"no"}],"fault":"motor_open"}`,
    fixed: `{"id":"G-3","steps":[{"test":"listen_hum","found":"no"}],"fault":"motor_open"}`,
  },
  "case-complaint": {
    severity: "warning",
    summary: "A case has another complaint than the ruleset.",
    explain: `A ruleset is about one complaint. The case counts all the same, and is likely to be one that this ruleset cannot get right: its
figures look worse than they are. Take such jobs to the ruleset for their complaint; mend the name where it is only
called otherwise.`,
    example: `{"id":"G-4","complaint":"arm_drops","steps":[],"fault":"gear_held"}`,
    fixed: `{"id":"G-4","complaint":"stuck","steps":[],"fault":"gear_held"}`,
  },
  "case-fault": {
    severity: "warning",
    summary: "The confirmed fault is none of the ruleset's.",
    explain: `Either its name is a slip, or the shop has met a fault that the ruleset does not list. Then only handing over is right for
this case; where such jobs become many, the fault wants a line in the ruleset.`,
    example: `{"id":"G-5","steps":[{"test":"listen_hum","found":"no"}],"fault":"motor_opn"}`,
    fixed: `{"id":"G-5","steps":[{"test":"listen_hum","found":"no"}],"fault":"motor_open"}`,
  },
  "case-test": {
    severity: "warning",
    summary: "A step names a test that the ruleset does not have.",
    explain: `The step is left out and its minutes are counted. A test that was renamed since wants its new name in the record; what was
found otherwise can stand in a step without a \`test\`, by the names of its readings.`,
    example: `{"id":"G-6","steps":[{"test":"measure_supply","found":{"rail":"21.4 V"}}],"fault":"board_dead"}`,
    fixed: `{"id":"G-6","steps":[{"found":{"rail":"21.4 V"}}],"fault":"board_dead"}`,
  },
  "case-part": {
    severity: "warning",
    summary: "A step puts a part back that no test fits.",
    explain: `An old part goes back after a known-good one was tried in its place, so there is a test that \`swaps\` it. The step is left out
and its minutes are counted.`,
    example: `{"id":"G-7","steps":[{"test":"try_board","found":"gone"},{"putBack":"plug","found":"stays"}]}`,
    fixed: `{"id":"G-7","steps":[{"test":"try_board","found":"gone"},{"putBack":"board","found":"stays"}]}`,
  },
  "case-reading": {
    severity: "warning",
    summary: "A finding is of a reading that the ruleset does not have.",
    explain: `The finding is left out, the others of the step stay. Mend the name, or give the ruleset the reading where it is worth
looking at.`,
    example: `{"id":"G-8","steps":[{"test":"listen_hum","found":{"hum":"no","click":"no"}}],"fault":"motor_open"}`,
    fixed: `{"id":"G-8","steps":[{"test":"listen_hum","found":{"hum":"no"}}],"fault":"motor_open"}`,
  },
  "case-value": {
    severity: "warning",
    summary: "A value is none that can stand there.",
    explain: `A number beyond the range of its reading or in a unit that does not measure it, a word that is none of its values, a swap
after which the complaint is neither \`gone\` nor \`stays\`; or minutes, a date, a yes or no that are none. The message says what
is left out, or taken instead. Mostly a decimal point was lost; where such values are real, the reading's range is too narrow.`,
    example: `{"id":"G-9","steps":[{"test":"meter_rail","found":"214 V"}],"fault":"board_dead"}`,
    fixed: `{"id":"G-9","steps":[{"test":"meter_rail","found":"21.4 V"}],"fault":"board_dead"}`,
  },
} as const satisfies Record<string, Omit<CodeText, "code">>
