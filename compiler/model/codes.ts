import type { CodeTable, Collector } from "../diagnostics/collector.ts"

/**
 * Every code that binding and loading can report. Codes are part of the interface: once published, they stay.
 * The text says when the code is reported; the reference page of codes is made from it.
 */
export const CODES = {
  "unknown-name": ["error", "A name is used that nothing declares."],
  "doubled-name": ["error", "Two declarations have one name; names are unique across all kinds."],
  "wrong-kind": ["error", "A name is of another kind than the clause takes."],
  "missing-declaration": ["error", "The program has no ruleset, no complaint or no fault."],
  "doubled-declaration": ["error", "A second ruleset or a second complaint is declared."],
  "missing-clause": ["error", "A declaration is missing a clause that it needs."],
  "doubled-clause": ["error", "A clause is given twice where only one can hold."],
  "doubled-item": ["warning", "A list names the same thing twice; the second has no effect."],
  "doubled-value": ["error", "A `one of` list has the same value twice."],
  "unknown-value": ["error", "A condition asks for a value that the reading does not have."],
  "unknown-unit": ["error", "A unit isn't known to Ruleout."],
  "missing-unit": ["error", "A number has no unit."],
  "unit-mismatch": ["error", "A number's unit isn't of the dimension that the clause needs."],
  "type-mismatch": ["error", "A comparison doesn't fit the type of its reading."],
  "out-of-range": [
    "error",
    "A number is outside what it may be: its reading's range, or the clause's limits.",
  ],
  "reversed-range": ["error", "The first number of a range is above the second."],
  "uneven-step": ["error", "A step is not positive, or the range is not a whole number of steps."],
  "too-fine": [
    "error",
    "A quantity would have more values than the limit of ten million, or limits divide it into too many ranges.",
  ],
  "beyond-hundred": ["error", "A percentage, or what percentages add up to, is above 100."],
  "not-hundred": ["error", "Percentages cover every value of a reading and yet add up to less than 100."],
  overlap: ["error", "Two `shows` of one fault on one reading share values."],
  "no-value": ["error", "A `shows`, `normally` or `expects` holds for no value that the meter resolves."],
  "unknown-input": ["error", "What a reading `gives` names a number that it doesn't take."],
  "unused-input": ["warning", "A reading takes a number that its `gives` doesn't use."],
  cycle: [
    "error",
    "`after`, `behind` or `use` lead back to where they started; the message shows the cycle.",
  ],
  "no-faults": ["error", "A list of faults comes out empty."],
  "idle-except": ["warning", "An `except` names a fault that isn't in the list anyway."],
  "eased-by-own": ["error", "A fault is `eased by` the setup that it is in."],
  "not-spare": ["warning", "A test swaps a part of which no known-good one is declared."],
  "bad-money": ["error", "`money` is not the three capital letters of an ISO 4217 code."],
  "bad-version": ["error", "`version` is not a semantic version."],
  "bad-language": [
    "error",
    "A language isn't a tag of BCP 47, like `de` or `pt-BR`, or texts are in the ruleset's own language.",
  ],
  "missing-translation": ["warning", "Texts of the ruleset aren't there in one of its languages."],
  "unknown-translation": ["warning", "A translation is of a text that the ruleset doesn't have."],
  "outdated-translation": [
    "warning",
    "The text of a translation has changed since; until it is looked at again, the new text is shown.",
  ],
  "bad-path": [
    "error",
    "The path of a `use` or a `picture` is absolute, leaves the ruleset's folder, is not a relative path at all, or is one too many.",
  ],
  "missing-file": ["error", "A file can't be found."],
  "bad-picture": ["error", "A picture isn't PNG, JPEG, WebP or SVG, can't be read, or would draw too much."],
  "large-picture": [
    "error",
    "A picture has more than 2 MiB or 40 million pixels, or all pictures together have more than 16 MiB.",
  ],
  "cleaned-picture": [
    "warning",
    "A drawing has scripts, links, animations or references to elsewhere; it is shown without them.",
  ],
} as const satisfies CodeTable<string>

export type Code = keyof typeof CODES

/** What binding and loading report to. */
export type Report = Collector<Code>
