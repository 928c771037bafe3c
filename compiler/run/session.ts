import { advise, type Choice } from "./advise.ts"
import {
  type Action,
  actions,
  after,
  type Belief,
  type Cause,
  type Found,
  type Machine,
  noted,
  outcomes,
  readsOf,
  start,
} from "./belief.ts"
import { RunError } from "./error.ts"
import { type Entry, follow } from "./follow.ts"
import type { GraphProof, GraphReading, Remedy } from "./graph.ts"
import { type Answer, type Read, readAnswer } from "./read.ts"

/** A test to do, or the part it fitted to put back. */
export interface TestStep {
  readonly do: "test"
  /** Index and name of the test. */
  readonly test: number
  readonly name: string
  /** Name of the part that goes back, where the step is to put one back. */
  readonly putBack?: string
  readonly instruction: string
  readonly kind: "reads" | "swaps" | "redoes" | "told"
  readonly cautions: readonly string[]
  readonly needs: readonly string[]
  readonly power?: "on" | "off"
  readonly minutes: number
  /** Money, bench time and risks included. */
  readonly cost: number
  /** The readings to answer, with question, unit and range, or cells whose `values` are the answers; empty where the answer is gone or stays. */
  readonly reads: readonly GraphReading[]
  /** What can be found and its chance, in the order of the cells; what has no chance is left out. */
  readonly outcomes: readonly { readonly found: Found; readonly label: string; readonly chance: number }[]
}

export interface VerdictStep {
  readonly do: "verdict"
  readonly remedy: Remedy
  /** Label of the place to mend; of no place where the machine is mended already. */
  readonly label?: string
  /** Chance that this remedy mends it. */
  readonly chance: number
  /** The faults which it mends. */
  readonly faults: readonly Suspect[]
  /** What must hold before the machine goes back, in order. */
  readonly proofs: readonly GraphProof[]
}

export interface HandoverStep {
  readonly do: "handover"
  /**
   * Where no listed fault fits: the findings any one of which could be the mistake, with the faults that would fit
   * without it and what ruled them out; all findings that ruled something out where none alone would do.
   */
  readonly atOdds: readonly {
    readonly step: number
    readonly faults: readonly { readonly fault: number; readonly out: Out }[]
  }[]
}

/** `by`: whether the compiled graph says so, or the model, where the findings are on none of its paths. */
export type Step = (TestStep | VerdictStep | HandoverStep) & { readonly by: "graph" | "model" }

/** What ruled a fault out. */
export interface Out {
  /** Index in the log. */
  readonly step: number
  readonly cause: Cause
  /** The same in words: the rule's `because` and line, or what the fault never shows. */
  readonly text: string
}

export interface Suspect {
  readonly fault: number
  readonly name: string
  readonly label: string
  /** Chance that this is, or was, the fault. */
  readonly chance: number
  /** The part of that chance in which it has been cured by what was redone. */
  readonly cured: number
  /** Where the chance is zero. */
  readonly out?: Out
}

export interface Standing {
  /** Known-good parts that are in the machine now, and the log's step that fitted each. */
  readonly fitted: readonly { readonly place: number; readonly name: string; readonly step: number }[]
  /** Setups redone, with the log's steps that did it. */
  readonly redone: readonly {
    readonly place: number
    readonly name: string
    readonly steps: readonly number[]
  }[]
  /** Places changed since the complaint was last seen: one of them is the cure, if there is one. */
  readonly changed: readonly number[]
  /** Where the complaint is gone for more than one possible reason. Chances add up to 1. */
  readonly doubt?: {
    readonly explanations: readonly {
      readonly place: number
      readonly label: string
      readonly chance: number
    }[]
    /** Chance that nothing is cured: the fault comes and goes and does not show just now. */
    readonly still: number
    readonly text: string
  }
}

/** What the record says that the session cannot know. */
export interface Closing {
  readonly id: string
  /** ISO 8601 date. */
  readonly date?: string
  /** Name of the fault that it turned out to be. */
  readonly fault?: string
  /** How that was confirmed. */
  readonly confirmed?: string
  readonly came_back?: boolean
}

/** A recorded case: one line of a `*.cases.jsonl`. */
export interface Recorded extends Closing {
  readonly complaint: string
  readonly told: Readonly<Record<string, string>>
  readonly steps: readonly RecordedStep[]
}

export interface RecordedStep {
  /** Name of the test, or */
  readonly test?: string
  /** of the part put back; neither where a reading was learnt without a test. */
  readonly putBack?: string
  readonly found: "gone" | "stays" | Readonly<Record<string, string>>
  readonly minutes?: number
}

/**
 * A job at the bench after some findings. Immutable: each finding gives a new session, and after a RunError the old one
 * goes on. Steps are counted from 0, as in `log`.
 */
export class Session {
  readonly #m: Machine
  readonly log: readonly Entry[]
  #belief: Belief
  readonly #unable = new Set<number>()
  readonly #out = new Map<number, { step: number; cause: Cause }>()
  #next: Step | undefined

  constructor(machine: Machine, log: readonly Entry[]) {
    this.#m = machine
    this.log = log
    this.#belief = start(machine)
    log.forEach((entry, step) => {
      this.#do(entry, step)
    })
  }

  #do({ test, putBack, cannot, reading, found }: Entry, step: number): void {
    const { graph } = this.#m
    const b = this.#belief
    const why = (fault: number, cause: Cause) => {
      this.#out.set(fault, { step, cause })
    }
    if (cannot) {
      this.#unable.add(test!)
      return
    }
    let next: Belief
    if (test === undefined) {
      next = noted(this.#m, b, [reading!], found as number[], why)
      // Whatever reads nothing that is not known by now has nothing left to do.
      const used = graph.tests.map(
        (_, t) =>
          b.used[t] || (readsOf(this.#m, t)?.every((r) => next.cells[r] !== undefined) ? true : undefined),
      )
      next = { ...next, used }
    } else {
      this.#unable.delete(test)
      const { part } = graph.model.tests[test]!
      if (
        !putBack &&
        readsOf(this.#m, test) === undefined &&
        b.fitted.some((t) => graph.model.tests[t]!.part === part)
      )
        throw new RunError(
          `A known-good \`${graph.places[part!]!.name}\` is in already: put the old one back first.`,
        )
      next = after(this.#m, b, { test, putBack: !!putBack }, found!, why)
    }
    // Weights only matter in proportion; brought back to 1 they never run out of digits.
    const norm = (all: readonly number[]) => all.map((weight) => weight / next.sum)
    this.#belief = {
      ...next,
      uncured: norm(next.uncured),
      cured: norm(next.cured),
      sum: next.sum > 0 ? 1 : 0,
    }
  }

  /** The step to do: of the compiled graph where the findings are on one of its paths, else decided from the model. */
  get next(): Step {
    this.#next ??= this.#decide()
    return this.#next
  }

  #decide(): Step {
    const node = this.#belief.sum > 0 ? follow(this.#m, this.log) : undefined
    if (node && node.do !== "advise" && !(node.do === "test" && this.#unable.has(node.test)))
      return { ...this.#step(node), by: "graph" }
    const choice: Choice =
      this.#belief.sum > 0 ? advise(this.#m, this.#belief, this.#unable) : { do: "handover" }
    return { ...this.#step(choice), by: "model" }
  }

  #step(choice: Choice): TestStep | VerdictStep | HandoverStep {
    if (choice.do === "test") return this.#testStep(choice)
    if (choice.do === "handover")
      return { do: "handover", atOdds: this.#belief.sum > 0 ? [] : this.#atOdds() }
    const { graph } = this.#m
    const { remedy } = choice
    const done = remedy.kind === "done"
    const mends = (each: Suspect) => (done ? each.cured : each.chance - each.cured)
    const faults = this.candidates.filter(
      (each) => mends(each) > 0 && (done || graph.faults[each.fault]!.place === remedy.place),
    )
    const places = faults.map((each) => graph.faults[each.fault]!.place)
    return {
      do: "verdict",
      remedy,
      ...(done ? {} : { label: graph.places[remedy.place!]!.label }),
      chance: faults.reduce((sum, each) => sum + mends(each), 0),
      faults,
      proofs: graph.proofs.filter(
        (proof) => !proof.places?.length || proof.places.some((place) => places.includes(place)),
      ),
    }
  }

  #testStep(action: Action): TestStep {
    const { graph } = this.#m
    const { name, instruction, kind, cautions, needs, power, minutes, cost } = graph.tests[action.test]!
    const { part } = graph.model.tests[action.test]!
    const reads = (readsOf(this.#m, action.test) ?? []).map((r) => graph.readings[r]!)
    const all = outcomes(this.#m, this.#belief, action, { left: 1e6 })
    const sum = all.reduce((so, each) => so + each.belief.sum, 0)
    const label = (found: Found) =>
      typeof found === "string"
        ? found
        : found
            .map((cell, i) => (found.length > 1 ? `${reads[i]!.name} ` : "") + reads[i]!.cells[cell]!.label)
            .join(", ")
    return {
      do: "test",
      test: action.test,
      name,
      ...(action.putBack ? { putBack: graph.places[part!]!.name } : {}),
      instruction,
      kind,
      cautions,
      needs,
      ...(power ? { power } : {}),
      minutes,
      cost,
      reads,
      outcomes: all.map(({ found, belief }) => ({ found, label: label(found), chance: belief.sum / sum })),
    }
  }

  /** All that may be done now: tests in the ruleset's order, then putting back. */
  get steps(): readonly TestStep[] {
    return actions(this.#m, this.#belief, this.#unable).map((action) => this.#testStep(action))
  }

  /**
   * What was found in the step at hand.
   *
   * @throws RunError where the answer cannot be read, or `next` is no test.
   */
  answer(found: Answer, minutes?: number): Session {
    const { next } = this
    if (next.do !== "test") throw new RunError("There is no test to answer: the job has come to its end.")
    return this.#add(this.#entry({ test: next.test, putBack: !!next.putBack }, found), minutes)
  }

  /**
   * What was found in any other way: by the test of that name, on the reading of that name without a test, or after
   * putting back the part of that name. Neither `after` nor `only if` stand in the way of what has been done.
   *
   * @throws RunError where there is no such name, the test was used before, or the answer cannot be read.
   */
  find(name: string, found: Answer, minutes?: number): Session {
    return this.#add(this.#entry(this.#named(name), found), minutes)
  }

  #named(name: string): Action | number {
    const { graph } = this.#m
    const test = graph.tests.findIndex((each) => each.name === name)
    if (test >= 0) {
      if (this.#belief.used[test])
        throw new RunError(`\`${name}\` has been done: take that finding back first.`)
      return { test }
    }
    const reading = graph.readings.findIndex((each) => each.name === name)
    if (reading >= 0) {
      if (this.#belief.cells[reading] !== undefined)
        throw new RunError(`\`${name}\` is known: take that finding back first.`)
      return reading
    }
    const fitter = this.#belief.fitted.find((t) => graph.places[graph.model.tests[t]!.part!]!.name === name)
    if (fitter === undefined)
      throw new RunError(`\`${name}\` is no test, no reading and no part that has been fitted.`)
    return { test: fitter, putBack: true }
  }

  #entry(what: Action | number, found: Answer): Entry {
    const { graph } = this.#m
    const split = (reads: Read[]) => ({
      found: reads.map((read) => read.cell),
      said: reads.map((read) => read.said),
    })
    if (typeof what === "number") return { reading: what, ...split(readAnswer(graph, [what], found)) }
    const { test, putBack } = what
    const reads = readsOf(this.#m, test)
    if (reads) return { test, ...split(readAnswer(graph, reads, found)) }
    if (found !== "gone" && found !== "stays")
      throw new RunError(`After \`${graph.tests[test]!.name}\` the complaint is \`gone\` or it \`stays\`.`)
    return { test, ...(putBack ? { putBack: true as const } : {}), found }
  }

  #add(entry: Entry, minutes?: number): Session {
    return new Session(this.#m, [...this.log, minutes === undefined ? entry : { ...entry, minutes }])
  }

  /** The test (or, where its part is fitted, putting that back) cannot be done here: go on without it. */
  cannot(name: string): Session {
    const test = this.#m.graph.tests.findIndex((each) => each.name === name)
    if (test < 0) throw new RunError(`\`${name}\` is no test.`)
    return this.#add({ test, cannot: true })
  }

  /**
   * Takes back one step of the log and keeps the rest. With a fitting goes its putting back.
   *
   * @throws RunError where a later step cannot stand without it.
   */
  undo(step: number): Session {
    if (!this.log[step]) throw new RunError(`There is no step ${step} to take back.`)
    return new Session(this.#m, this.#without(step))
  }

  #without(step: number): Entry[] {
    const { test, putBack, cannot } = this.log[step]!
    return this.log.filter(
      (entry, i) => i !== step && (cannot || putBack || !entry.putBack || entry.test !== test),
    )
  }

  /** By fault, chances that it is there uncured, and that it was and is cured; all zero where none fits. */
  get chances(): { readonly uncured: readonly number[]; readonly cured: readonly number[] } {
    const { faults, uncured, cured, sum } = this.#belief
    const spread = (weights: readonly number[]) => {
      const all = this.#m.graph.faults.map(() => 0)
      faults.forEach((fault, i) => {
        all[fault] = weights[i]! / sum
      })
      return all
    }
    return { uncured: spread(uncured), cured: spread(cured) }
  }

  /** All faults, likeliest first; for those without a chance what ruled them out. */
  get candidates(): readonly Suspect[] {
    const { uncured, cured } = this.chances
    return this.#m.graph.faults
      .map(({ name, label }, fault) => {
        const out = this.#out.get(fault)
        return {
          fault,
          name,
          label,
          chance: uncured[fault]! + cured[fault]!,
          cured: cured[fault]!,
          ...(out ? { out: { ...out, text: this.#told(out.step, out.cause) } } : {}),
        }
      })
      .sort((a, b) => b.chance - a.chance || a.fault - b.fault)
  }

  #told(step: number, cause: Cause): string {
    const { graph } = this.#m
    if ("rule" in cause) {
      const { because, name, line } = graph.rules[cause.rule]!
      return `${because ?? name ?? "ruled out"} (line ${line})`
    }
    if ("never" in cause) return "these findings cannot occur together"
    if ("complaint" in cause) return `with this fault the complaint would not be \`${cause.complaint}\``
    const { test, reading, said } = this.log[step]!
    const reads = reading === undefined ? readsOf(this.#m, test!)! : [reading]
    return `with this fault \`${graph.readings[cause.shows]!.name}\` is never ${said![reads.indexOf(cause.shows)]}`
  }

  #atOdds(): HandoverStep["atOdds"] {
    const outs = this.candidates.flatMap(({ fault, out }) => (out ? [{ fault, out }] : []))
    const steps = this.log.map((_, step) => step)
    const all = steps.map((step) => ({ step, faults: outs.filter(({ out }) => out.step === step) }))
    const alone = all.map(({ step, faults }) => {
      const fits = this.undo(step).chances
      return { step, faults: faults.filter(({ fault }) => fits.uncured[fault]! + fits.cured[fault]! > 0) }
    })
    const some = (list: HandoverStep["atOdds"]) => list.filter(({ faults }) => faults.length)
    return some(alone).length ? some(alone) : some(all)
  }

  /** What is in the machine now that was not, and what is to be thought of a complaint that has gone. */
  get standing(): Standing {
    const { graph } = this.#m
    const { faults, uncured, cured, sum } = this.#belief
    const placed = (place: number) => ({ place, name: graph.places[place]!.name })
    const redone = new Map<number, number[]>()
    let changed = new Set<number>()
    this.log.forEach(({ test, putBack, cannot, found }, step) => {
      if (cannot || typeof found !== "string") return
      const { part } = graph.model.tests[test!]!
      for (const setup of this.#m.cures[test!]!.keys()) {
        redone.set(setup, [...(redone.get(setup) ?? []), step])
        changed.add(setup)
      }
      if (part !== undefined && putBack) changed.delete(part)
      else if (part !== undefined) changed.add(part)
      if (found === "stays") changed = new Set()
    })
    const weight = (place: number, weights: readonly number[]) =>
      faults.reduce((so, fault, i) => so + (graph.faults[fault]!.place === place ? weights[i]! / sum : 0), 0)
    const explanations = [...changed]
      .map((place) => ({
        place,
        label: graph.places[place]!.label,
        chance: weight(place, graph.places[place]!.kind === "part" ? uncured : cured),
      }))
      .filter((each) => each.chance > 0)
      .sort((a, b) => b.chance - a.chance)
    const still = Math.max(0, 1 - explanations.reduce((so, each) => so + each.chance, 0))
    const fitted = this.#belief.fitted.map((t) => ({
      ...placed(graph.model.tests[t]!.part!),
      step: this.log.findIndex((entry) => entry.test === t && entry.found === "gone" && !entry.putBack),
    }))
    const labels = explanations.map((each) => each.label).join(", or ")
    return {
      fitted,
      redone: [...redone].map(([place, steps]) => ({ ...placed(place), steps })),
      changed: [...changed],
      ...(explanations.length > 1
        ? {
            doubt: {
              explanations,
              still,
              text: `The complaint is gone for more than one possible reason: ${labels}.${fitted.length ? " Put the old part back to tell them apart." : ""}`,
            },
          }
        : {}),
    }
  }

  /** The job as a recorded case, plain JSON. */
  record(closing: Closing): Recorded {
    const { graph } = this.#m
    const { id, date, ...end } = closing
    const told: [string, string][] = []
    const steps: RecordedStep[] = []
    for (const { test, reading, putBack, cannot, found, said, minutes } of this.log) {
      if (cannot) continue
      const reads = reading === undefined ? readsOf(this.#m, test!) : [reading]
      const pairs = (reads ?? []).map((r, i): [string, string] => [graph.readings[r]!.name, said![i]!])
      if (reads?.every((r) => graph.readings[r]!.told)) told.push(...pairs)
      else
        steps.push({
          ...(test === undefined
            ? {}
            : putBack
              ? { putBack: graph.places[graph.model.tests[test]!.part!]!.name }
              : { test: graph.tests[test]!.name }),
          found: typeof found === "string" ? found : Object.fromEntries(pairs),
          ...(minutes === undefined ? {} : { minutes }),
        })
    }
    return {
      id,
      ...(date === undefined ? {} : { date }),
      complaint: graph.complaint.name,
      told: Object.fromEntries(told),
      steps,
      ...end,
    }
  }
}
