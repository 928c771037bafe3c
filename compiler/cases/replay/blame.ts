/**
 * Which rule, `shows` or look ruled out what was confirmed: looked for in all that a record found, whether a walk asks
 * for it or not. These are the mistakes worth a senior's time, the ruleset's or the bench's.
 */

import { holds, readingsOf } from "../../run/condition.ts"
import type { Graph, GraphCondition } from "../../run/graph.ts"
import type { CellIndex, ReadingIndex, RuleIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Case, CaseAction, Confirmed, Finding } from "../record/case.ts"
import type { MachineState, TrueMachine } from "./true-machine.ts"

export interface Blame {
  readonly cause: /** `chance`: how far the rule is trusted; below 1 it did not rule out, but weakened. */
    | { readonly kind: "rule"; readonly rule: RuleIndex; readonly chance: number }
    /** The confirmed state never shows this. */
    | { readonly kind: "shows" }
    /** The complaint or the proof run came out as it cannot in the confirmed state. */
    | { readonly kind: "look"; readonly action: CaseAction; readonly found: string }
    /** The findings are said never to occur together. */
    | { readonly kind: "never"; readonly never: number }
  /** The findings that it rests on. */
  readonly findings: readonly Finding[]
  /** Index of the record's step that brought it about; -1 for a told answer. */
  readonly step: number
}

/** A finding of a record, and the machine on which it was made. */
interface Held {
  readonly cell: CellIndex
  readonly told: boolean
  readonly status: number
}

interface Law {
  readonly when: GraphCondition
  readonly readings: readonly ReadingIndex[]
  /** It names told questions only. */
  readonly told: boolean
  readonly cause: Blame["cause"]
}

/** Made once for a graph. */
export class Blamer {
  readonly #graph: Graph
  readonly #machine: TrueMachine
  readonly #laws: readonly Law[]

  constructor(graph: Graph, machine: TrueMachine) {
    this.#graph = graph
    this.#machine = machine
    const { rules, nevers } = graph.model
    const law = (when: GraphCondition, cause: Blame["cause"]): Law => {
      const readings = [...readingsOf(when)]
      return { when, readings, told: readings.every((r) => at(graph.readings, r).told), cause }
    }
    this.#laws = [
      ...rules.map(({ when, chance }, rule) => law(when, { kind: "rule", rule, chance })),
      ...nevers.map((when, never) => law(when, { kind: "never", never })),
    ]
  }

  blames(record: Case): Blame[] {
    const { confirmed } = record
    if (confirmed.kind === "unknown") return []
    const machine = this.#machine
    const held: (Held | undefined)[] = []
    const fired = new Set<Law>()
    const all: Blame[] = []
    let state = machine.start(confirmed)

    const learn = ({ reading, cell }: Finding, step: number) => {
      const { told } = at(this.#graph.readings, reading)
      held[reading] = { cell, told, status: state.status }
      if (machine.cellChance(state, reading, cell) === 0)
        all.push({ cause: { kind: "shows" }, findings: [{ reading, cell }], step })
    }
    const judge = (step: number) => {
      for (const law of this.#laws) {
        if (fired.has(law) || !this.#strikes(law, held, state, confirmed)) continue
        fired.add(law)
        const findings = law.readings.flatMap((reading) => {
          const cell = cellOf(held, state)(reading)
          return cell === undefined ? [] : [{ reading, cell }]
        })
        all.push({ cause: law.cause, findings, step })
      }
    }

    for (const finding of record.told) learn(finding, -1)
    judge(-1)
    for (const [n, step] of record.steps.entries()) {
      const { found } = step
      if (typeof found === "string") {
        // What is not listed is no business of the ruleset's looks.
        if (confirmed.kind === "faults" && machine.step(state, step).chance(found) === 0)
          all.push({ cause: { kind: "look", action: step, found }, findings: [], step: n })
        state = machine.after(state, step, found, step.do === "test" && step.leftIn === true)
      } else for (const finding of found) learn(finding, n)
      judge(n)
    }
    return all
  }

  /** Whether a rule or never takes something from the confirmed state now. */
  #strikes(
    { when, told, cause }: Law,
    held: readonly (Held | undefined)[],
    state: MachineState,
    confirmed: Confirmed,
  ): boolean {
    if (holds(when, cellOf(held, state)) !== true) return false
    if (cause.kind !== "rule") return true
    const faults = confirmed.kind === "faults" ? confirmed.faults : []
    const active = faults.filter((_, i) => told || ((state.status >> (2 * i)) & 3) !== 1)
    if (confirmed.kind === "faults" && active.length === 0) return false
    const { of, verb } = at(this.#graph.model.rules, cause.rule)
    return active.some((fault) => of.includes(fault)) === (verb === "rule out")
  }
}

/** The findings that still stand: told, or made with the same faults active. */
function cellOf(held: readonly (Held | undefined)[], { status }: MachineState) {
  return (reading: ReadingIndex): CellIndex | undefined => {
    const last = held[reading]
    return last && (last.told || last.status === status) ? last.cell : undefined
  }
}
