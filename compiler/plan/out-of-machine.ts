import { GONE, type Job } from "./job.ts"
import type { Problem } from "./problem.ts"
import type { Step } from "./steps.ts"

/** Which faults are out of the machine with their parts after a step. */
export class OutOfMachine {
  readonly #problem: Problem
  /** By what is out before, by whether parts leave the machine, by parts: what is out then. */
  readonly #moves = new WeakMap<Uint8Array, Map<readonly number[], Uint8Array>[]>()

  constructor(problem: Problem) {
    this.#problem = problem
  }

  /** By fault: 1 where its part isn't in the machine after a step that came out so. */
  after({ out }: Job, { kind, parts, leaveIn }: Step, label: number): Uint8Array {
    if (kind === "swaps" && (label === GONE || leaveIn)) return this.#moved(out, parts, 1)
    if (kind === "takeOut" || kind === "putBack" || kind === "keep") return this.#moved(out, parts, 0)
    return out
  }

  #moved(out: Uint8Array, parts: readonly number[], is: number): Uint8Array {
    let known = this.#moves.get(out)
    if (known === undefined) {
      known = [new Map(), new Map()]
      this.#moves.set(out, known)
    }
    let made = known[is]!.get(parts)
    if (made === undefined) {
      made = out.map((before, fault) => (parts.includes(this.#problem.place[fault]!) ? is : before))
      known[is]!.set(parts, made)
    }
    return made
  }
}
