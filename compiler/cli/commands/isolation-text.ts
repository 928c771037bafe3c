import type { Testability } from "../../check/testability.ts"
import { fixedPercent } from "../../wording/figures.ts"

/** The figures, with what they mean and where they are defined. */
export function isolationText(file: string, { detected, within, meanSize, unplanned }: Testability): string {
  const percent = (share: number) => fixedPercent(share).padStart(7)
  const lines = [
    `Isolation of ${file} (after MIL-STD-2165 and IEEE 1522, by rate; a remedy below 1 % is not counted):`,
    `  ends with a listed fault possible   ${percent(detected)}`,
    ...within.map(
      (share, i) =>
        `  isolated to ${i === 0 ? "one remedy" : `at most ${i + 1} remedies`}`.padEnd(38) + percent(share),
    ),
    `  mean number of remedies left        ${meanSize.toFixed(2).padStart(5)}`,
  ]
  if (unplanned > 0) lines.push(`  not planned to the end              ${percent(unplanned)}`)
  return `${lines.join("\n")}\n`
}
