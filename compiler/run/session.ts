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
import { readAnswer } from "./read.ts"
import { record } from "./record.ts"
import { standing } from "./standing.ts"
import type { HandoverStep, Out, Session, Step, Suspect, TestStep, VerdictStep } from "./step.ts"

interface Replayed {
  readonly belief: Belief
  /** Tests that cannot be done here. */
  readonly unable: ReadonlySet<number>
  /** By fault that has lost its last chance: when, and why. */
  readonly out: ReadonlyMap<number, Out>
}

function replay(m: Machine, log: readonly Entry[]): Replayed {
  const unable = new Set<number>()
  const out = new Map<number, Out>()
  let belief = start(m)
  log.forEach((entry, step) => {
    const { test, putBack, cannot, reading, found } = entry
    let next = belief
    if (cannot) unable.add(test!)
    else if (test !== undefined) {
      unable.delete(test)
      next = after(m, belief, { test, putBack }, found!)
    } else {
      next = noted(m, belief, [reading!], found as number[])
      // A test that reads nothing but what is known by now has been done, in effect.
      const used = new Set(next.used)
      m.tests.forEach(({ reads }, t) => {
        if (reads?.every((r) => next.cells[r] !== undefined)) used.add(t)
      })
      next = { ...next, used }
    }
    for (const fault of belief.faults)
      if (!next.faults.includes(fault)) out.set(fault, { step, text: why(m, next, entry, fault) })
    // Weights matter only in proportion; with a sum of 1 they never run out of digits.
    const norm = (all: readonly number[]) => all.map((weight) => weight / next.sum)
    belief = { ...next, uncured: norm(next.uncured), cured: norm(next.cured), sum: next.sum && 1 }
  })
  return { belief, unable, out }
}

/** Why a fault has lost its last chance by this finding. */
function why(m: Machine, b: Belief, { test = -1, reading = -1, found, said }: Entry, fault: number): string {
  if (typeof found === "string") return `the complaint would not ${found === "gone" ? "be gone" : "stay"}`
  const { reads = [reading] } = m.tests[test] ?? {}
  const mask = acting(m, b, reads).find(({ out }) => out.has(fault))
  return (
    mask?.text ??
    `it never shows ${reads.map((r, i) => `\`${m.readings[r]!.name}\` ${said![i]}`).join(" and ")}`
  )
}

/** The session of a job with these findings; `open` begins one, and each session makes the next. */
export function sessionOf(m: Machine, log: readonly Entry[]): Session {
  const { belief, unable, out } = replay(m, log)
  const add = (entry: Entry) => sessionOf(m, [...log, entry])
  let next: Step | undefined

  const step = (choice: Choice): TestStep | VerdictStep | HandoverStep => {
    if (choice.do === "test") return testStep(choice)
    if (choice.do === "handover") return { do: "handover", atOdds: belief.sum ? [] : atOdds() }
    const { remedy } = choice
    const done = remedy.kind === "done"
    const faults = suspects()
      .map((each) => ({ ...each, chance: done ? each.cured : each.chance - each.cured }))
      .filter(({ chance, place }) => chance > 0 && (done || place === remedy.place))
    return {
      do: "verdict",
      remedy,
      label: m.places[remedy.place!]?.label,
      chance: faults.reduce((sum, { chance }) => sum + chance, 0),
      faults,
      proofs: m.proofs.filter(
        ({ places }) => !places?.length || faults.some(({ place }) => places.includes(place)),
      ),
    }
  }

  const testStep = ({ test, putBack }: Action): TestStep => {
    const meaning = m.tests[test]!
    const reads = (meaning.reads ?? []).map((r) => m.readings[r]!)
    const all = outcomes(m, belief, { test, putBack }, { left: 3e5 })
    const label = (found: Found) =>
      typeof found === "string"
        ? found
        : reads.map(({ name, cells }, i) => (reads[1] ? `${name} ` : "") + cells[found[i]!]!.label).join(", ")
    return {
      ...meaning,
      do: "test",
      test,
      putBack: putBack && m.places[meaning.part!]!.name,
      reads,
      outcomes: all.map(({ found, chance }) => ({ found, label: label(found), chance })),
    }
  }

  const suspects = (): Suspect[] =>
    m.faults
      .map((each, fault) => {
        const i = belief.faults.indexOf(fault)
        const cured = belief.cured[i] ?? 0
        return { ...each, fault, chance: cured + (belief.uncured[i] ?? 0), cured, out: out.get(fault) }
      })
      .sort((a, b) => b.chance - a.chance)

  const without = (step: number) => {
    const { test, putBack, cannot } = log[step]!
    return log.filter(
      (entry, i) => i !== step && (putBack || cannot || !entry.putBack || entry.test !== test),
    )
  }

  /** Where no fault fits: each finding without which some would. */
  const atOdds = (): HandoverStep["atOdds"] =>
    log.flatMap((_, step) => {
      const fits = replay(m, without(step)).belief.faults
      return fits[0] === undefined
        ? []
        : [{ step, faults: suspects().filter(({ fault }) => fits.includes(fault)) }]
    })

  return {
    log,
    get next() {
      if (!next) {
        const node = belief.sum ? follow(m, log) : undefined
        const graph = node && node.do !== "advise" && !unable.has((node as Action).test)
        const choice = graph ? node : belief.sum ? advise(m, belief, unable) : ({ do: "handover" } as const)
        next = { ...step(choice), by: graph ? "graph" : "model" }
      }
      return next
    },
    get steps() {
      return actions(m, belief, unable).map(testStep)
    },
    get chances() {
      const byFault = (weights: readonly number[]) =>
        m.faults.map((_, fault) => weights[belief.faults.indexOf(fault)] ?? 0)
      return { uncured: byFault(belief.uncured), cured: byFault(belief.cured) }
    },
    get candidates() {
      return suspects()
    },
    get standing() {
      return standing(m, belief, log)
    },
    answer(found, minutes) {
      const { next } = this
      return this.find(next.do === "test" ? (next.putBack ?? next.name) : "", found, minutes)
    },
    find(name, found, minutes) {
      const { used, cells, fitted } = belief
      const named = (each: { readonly name: string }) => each.name === name
      const fitter = fitted.get(m.places.findIndex(named))
      const test =
        fitter ?? m.tests.findIndex((each, t) => named(each) && !used.has(t) && !fitted.has(each.part!))
      const reading = m.readings.findIndex((each, r) => named(each) && cells[r] === undefined)
      const { reads } = m.tests[test] ?? { reads: [reading] }
      if (test < 0 && reading < 0)
        throw new RunError(`\`${name}\` is no test, reading or fitted part that is left.`)
      if (!reads && found !== "gone" && found !== "stays")
        throw new RunError(`After \`${name}\` the complaint is \`gone\` or it \`stays\`.`)
      const all = reads && readAnswer(m, reads, found)
      return add({
        test: test < 0 ? undefined : test,
        reading: test < 0 ? reading : undefined,
        putBack: fitter === undefined ? undefined : true,
        found: all ? all.map(({ cell }) => cell) : (found as "gone"),
        said: all?.map(({ said }) => said),
        minutes,
      })
    },
    cannot(name) {
      const test = m.tests.findIndex((each) => each.name === name)
      if (test < 0) throw new RunError(`\`${name}\` is no test.`)
      return add({ test, cannot: true })
    },
    undo(step) {
      if (!log[step]) throw new RunError(`There is no step ${step}.`)
      return sessionOf(m, without(step))
    },
    record: (closing) => record(m, log, closing),
  }
}
