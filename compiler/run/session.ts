import { advise, type Choice } from "./advise.ts"
import {
  type Action,
  acting,
  actions,
  after,
  type Belief,
  type Found,
  type Machine,
  noted,
  outcomes,
  start,
} from "./belief.ts"
import { RunError } from "./error.ts"
import { type Entry, follow } from "./follow.ts"
import { type Answer, readAnswer } from "./read.ts"
import { type Closing, type Recorded, record } from "./record.ts"
import { type Standing, standing } from "./standing.ts"
import type { HandoverStep, Out, Step, Suspect, TestStep, VerdictStep } from "./step.ts"

/**
 * A job at the bench after some findings. Immutable: each finding gives a new session, and after a RunError the old one
 * goes on. Steps are counted from 0, as in `log`. The same findings always give the same chances.
 */
export class Session {
  /** What was found and what could not be done, in order. */
  readonly log: readonly Entry[]
  readonly #m: Machine
  readonly #unable = new Set<number>()
  readonly #out = new Map<number, Out>()
  #belief: Belief
  #next: Step | undefined

  constructor(machine: Machine, log: readonly Entry[]) {
    this.log = log
    this.#m = machine
    this.#belief = start(machine)
    log.forEach((entry, step) => {
      this.#take(entry, step)
    })
  }

  #take({ test, putBack, cannot, reading, found }: Entry, step: number): void {
    const b = this.#belief
    let next = b
    if (cannot) this.#unable.add(test!)
    else if (test !== undefined) {
      this.#unable.delete(test)
      next = after(this.#m, b, { test, putBack }, found!)
    } else {
      next = noted(this.#m, b, [reading!], found as number[])
      // A test that reads nothing but what is known by now has been done, in effect.
      const used = this.#m.tests.map(
        ({ reads }, t) => b.used[t] || reads?.every((r) => next.cells[r] !== undefined),
      )
      next = { ...next, used }
    }
    for (const fault of b.faults)
      if (!next.faults.includes(fault))
        this.#out.set(fault, { step, text: this.#cause(fault, this.log[step]!, next) })
    // Weights matter only in proportion; with a sum of 1 they never run out of digits.
    const norm = (all: readonly number[]) => all.map((weight) => weight / next.sum)
    this.#belief = { ...next, uncured: norm(next.uncured), cured: norm(next.cured), sum: next.sum && 1 }
  }

  /** Why a fault has lost its last chance in this step. */
  #cause(fault: number, { test = -1, reading = -1, found, said }: Entry, b: Belief): string {
    if (typeof found === "string") return `the complaint would not be ${found}`
    const { reads = [reading] } = this.#m.tests[test] ?? {}
    const mask = acting(this.#m, b, reads).find(({ out }) => out.has(fault))
    if (mask) return mask.text
    const never = reads.findIndex((r, i) => {
      const { own, healthy } = this.#m.readings[r]!
      return !(own[fault] ?? healthy)[found![i]!]
    })
    return `it never shows \`${this.#m.readings[reads[never] ?? reads[0]!]!.name}\` ${said![never] ?? said}`
  }

  /** The step to do: of the compiled graph where the findings are those of one of its paths, else by the model. */
  get next(): Step {
    this.#next ??= this.#decide()
    return this.#next
  }

  #decide(): Step {
    const fits = this.#belief.sum
    const node = fits ? follow(this.#m, this.log) : undefined
    if (node && node.do !== "advise" && !(node.do === "test" && this.#unable.has(node.test)))
      return { by: "graph", ...this.#step(node) }
    return {
      by: "model",
      ...this.#step(fits ? advise(this.#m, this.#belief, this.#unable) : { do: "handover" }),
    }
  }

  #step(choice: Choice): TestStep | VerdictStep | HandoverStep {
    if (choice.do === "test") return this.#test(choice)
    if (choice.do === "handover") return { do: "handover", atOdds: this.#atOdds() }
    const { remedy } = choice
    const done = remedy.kind === "done"
    const faults = this.candidates
      .map((each) => ({ ...each, chance: done ? each.cured : each.chance - each.cured }))
      .filter(({ chance, place }) => chance > 0 && (done || place === remedy.place))
    return {
      do: "verdict",
      remedy,
      label: this.#m.places[remedy.place!]?.label,
      chance: faults.reduce((sum, { chance }) => sum + chance, 0),
      faults,
      proofs: this.#m.proofs.filter(
        ({ places }) => !places?.length || faults.some(({ place }) => places.includes(place)),
      ),
    }
  }

  #test({ test, putBack }: Action): TestStep {
    const meaning = this.#m.tests[test]!
    const reads = (meaning.reads ?? []).map((r) => this.#m.readings[r]!)
    const all = outcomes(this.#m, this.#belief, { test, putBack }, { left: 1e6 })
    const sum = all.reduce((so, { belief }) => so + belief.sum, 0)
    const label = (found: Found) =>
      typeof found === "string"
        ? found
        : found
            .map((cell, i) => (reads[1] ? `${reads[i]!.name} ` : "") + reads[i]!.cells[cell]!.label)
            .join(", ")
    return {
      ...meaning,
      do: "test",
      test,
      putBack: putBack && this.#m.places[meaning.part!]!.name,
      reads,
      outcomes: all.map(({ found, belief }) => ({ found, label: label(found), chance: belief.sum / sum })),
    }
  }

  /** All that may be done now: tests in the ruleset's order, then putting back. */
  get steps(): readonly TestStep[] {
    return actions(this.#m, this.#belief, this.#unable).map((action) => this.#test(action))
  }

  /**
   * What was found in the step at hand.
   *
   * @throws RunError where the answer cannot be read, or `next` is no test.
   */
  answer(found: Answer, minutes?: number): Session {
    const { next } = this
    return this.find(next.do === "test" ? (next.putBack ?? next.name) : "", found, minutes)
  }

  /**
   * What was found in any other way: by the test of that name, on the reading of that name without a test, or after
   * putting back the part of that name. Neither `after` nor `only if` stand in the way of what has been done.
   *
   * @throws RunError where nothing of that name is left to find, or the answer cannot be read.
   */
  find(name: string, found: Answer, minutes?: number): Session {
    const { used, cells, fitted } = this.#belief
    const named = (each: { readonly name: string }) => each.name === name
    const fitter = fitted.get(this.#m.places.findIndex(named))
    const test =
      fitter ?? this.#m.tests.findIndex((each, t) => named(each) && !used[t] && !fitted.has(each.part!))
    const reading = this.#m.readings.findIndex((each, r) => named(each) && cells[r] === undefined)
    const { reads } = this.#m.tests[test] ?? { reads: [reading] }
    if (test < 0 && reading < 0)
      throw new RunError(
        `\`${name}\` names no test, reading or fitted part about which there is something to find now.`,
      )
    if (!reads && found !== "gone" && found !== "stays")
      throw new RunError(`After \`${name}\` the complaint is \`gone\` or it \`stays\`; say which.`)
    const all = reads && readAnswer(this.#m, reads, found)
    return this.#with({
      ...(test < 0 ? { reading } : { test }),
      ...(fitter !== undefined && { putBack: true }),
      found: all ? all.map(({ cell }) => cell) : (found as "gone"),
      ...(all && { said: all.map(({ said }) => said) }),
      ...(minutes !== undefined && { minutes }),
    })
  }

  #with(entry: Entry): Session {
    return new Session(this.#m, [...this.log, entry])
  }

  /**
   * The test, or where its part is fitted putting that back, cannot be done here: go on without it.
   *
   * @throws RunError where there is no test of that name.
   */
  cannot(name: string): Session {
    const test = this.#m.tests.findIndex((each) => each.name === name)
    if (test < 0) throw new RunError(`\`${name}\` names no test.`)
    return this.#with({ test, cannot: true })
  }

  /**
   * Takes back one step of the log and keeps the rest; with a fitting goes its putting back.
   *
   * @throws RunError where there is no such step.
   */
  undo(step: number): Session {
    const undone = this.log[step]
    if (!undone) throw new RunError(`There is no step ${step} to take back.`)
    const fitting = undone.cannot || undone.putBack ? -1 : undone.test
    return new Session(
      this.#m,
      this.log.filter((entry, i) => i !== step && !(entry.putBack && entry.test === fitting)),
    )
  }

  /** By fault, the chances that it is there uncured, and that it was and is cured; all zero where none fits. */
  get chances(): { readonly uncured: readonly number[]; readonly cured: readonly number[] } {
    const b = this.#belief
    const spread = (weights: readonly number[]) =>
      this.#m.faults.map((_, fault) => weights[b.faults.indexOf(fault)] ?? 0)
    return { uncured: spread(b.uncured), cured: spread(b.cured) }
  }

  /** All faults, likeliest first; those without a chance with what ruled them out. */
  get candidates(): readonly Suspect[] {
    const { uncured, cured } = this.chances
    return this.#m.faults
      .map((each, fault) => ({
        ...each,
        fault,
        chance: uncured[fault]! + cured[fault]!,
        cured: cured[fault]!,
        out: this.#out.get(fault),
      }))
      .sort((a, b) => b.chance - a.chance)
  }

  /** Where no fault fits: each finding without which some would, else each that ruled some out. */
  #atOdds(): HandoverStep["atOdds"] {
    const blamed = (alone: boolean) =>
      this.log.flatMap((_, step) => {
        const fits = alone && this.undo(step).#belief.faults
        const faults = this.candidates.filter(
          ({ fault, out }) => out?.step === step && (!fits || fits.includes(fault)),
        )
        return faults[0] ? [{ step, faults }] : []
      })
    const alone = this.#belief.sum ? [] : blamed(true)
    return alone[0] || this.#belief.sum ? alone : blamed(false)
  }

  /** What is in the machine now that was not, and what is to be thought of a complaint that has gone. */
  get standing(): Standing {
    return standing(this.#m, this.#belief, this.log)
  }

  /** The job as a recorded case, plain JSON. */
  record(closing: Closing): Recorded {
    return record(this.#m, this.log, closing)
  }
}
