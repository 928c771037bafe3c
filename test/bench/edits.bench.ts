import { drawnRuleset, editsOf, nothingTried, slippedRuleset, tryEdits } from "../support/edits.ts"
import { option } from "./option.ts"
import { cpuSeconds } from "./time.ts"

export const title = "Every edit of every problem, applied by itself, in rulesets other than the suite's"

/** Seeds of the suite end before. */
const FROM = 1001

export function run(line: (text: string) => void): void {
  const most = Number(option("texts") ?? 5000)
  measured(line, "drawn rulesets", most, drawnRuleset)
  measured(line, "rulesets with a slip of the pen", most, slippedRuleset)
}

function measured(
  line: (text: string) => void,
  what: string,
  texts: number,
  draw: (seed: number) => string,
): void {
  const began = cpuSeconds()
  const tried = nothingTried()
  for (let seed = FROM; seed < FROM + texts; seed++) tryEdits(draw(seed), tried)
  const { counts, faults } = tried
  const codes = [...counts].sort(([, a], [, b]) => b - a)
  line(
    `${texts.toLocaleString("en")} ${what}: ${editsOf(tried).toLocaleString("en")} edits of ${codes.length} codes, ${faults.length} at fault, ${(cpuSeconds() - began).toFixed(0)} s of processor`,
  )
  line(`  ${codes.map(([code, count]) => `${code} ${count}`).join(", ")}`)
  for (const fault of faults.slice(0, 10)) line(fault)
}
