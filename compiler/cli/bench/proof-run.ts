import type { GraphProof, GraphReading } from "../../run/index.ts"
import { at } from "../../run/lookup.ts"
import * as common from "../../wording/compiled/common.ts"
import * as m from "../../wording/compiled/terminal.ts"
import type { Talk } from "../io/line-input.ts"
import { cellOf } from "./read-typed.ts"
import type { Screen } from "./screen.ts"
import { proofText } from "./step-text.ts"

/** How the dialog asks; undefined where a command changed the job instead. */
interface Asking {
  yesOrNo(): Promise<string | undefined>
  reading(reading: GraphReading): Promise<string | undefined>
}

/** The proof run, try by try: it holds if the complaint is never seen and every reading is what it must be. */
export class ProofRun {
  readonly #screen: Screen
  readonly #lines: Talk
  readonly #asking: Asking

  constructor(screen: Screen, lines: Talk, asking: Asking) {
    this.#screen = screen
    this.#lines = lines
    this.#asking = asking
  }

  /** Whether all of it holds; undefined where a command changed the job. */
  async of(runs: readonly GraphProof[]): Promise<boolean | undefined> {
    const { words } = this.#screen
    const answers = { yes: words.say(common.yes), no: words.say(common.no) }
    for (const run of runs) {
      for (let n = 1; n <= run.times; n++) {
        this.#lines.say(proofText(run, n, this.#screen), `  ${words.say(m.staysAway, answers)}`)
        const text = await this.#asking.yesOrNo()
        if (text !== "yes") return text === undefined ? undefined : false
      }
      const reads = await this.#expected(run)
      if (reads !== true) return reads
    }
    return true
  }

  async #expected({ expects }: GraphProof): Promise<boolean | undefined> {
    if (!expects) return true
    const reading = at(this.#screen.graph.readings, expects.reading)
    const value = await this.#asking.reading(reading)
    return value === undefined ? undefined : expects.cells.includes(cellOf(reading, value))
  }
}
