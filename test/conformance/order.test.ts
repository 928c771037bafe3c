import fc from "fast-check"
import { expect, test } from "vitest"
import { open, type Session } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { type Size, sketches, tiny } from "../support/models.ts"
import { modelOf } from "../support/sketch.ts"

const small: Size = { ...tiny, faults: 6, readings: 3, told: 2, tests: 6, rules: 4 }

/** A finding: by which name, and the choice of an outcome. */
interface Finding {
  readonly name: string
  readonly found: "gone" | "stays" | readonly number[]
}

/** Some findings that may be had in turn, drawn from what each step says can be found. */
function walk(session: Session, choices: Iterator<number>, most: number): Finding[] {
  const log: Finding[] = []
  let so = session
  for (let i = 0; i < most; i++) {
    const steps = so.steps.filter((step) => step.outcomes.length)
    if (!steps.length) break
    const step = steps[choices.next().value % steps.length]!
    const { found } = step.outcomes[choices.next().value % step.outcomes.length]!
    const name = step.putBack ?? step.name
    log.push({ name, found })
    so = so.find(name, found)
  }
  return log
}

const told = (session: Session, log: readonly Finding[]) =>
  log.reduce((so, { name, found }) => so.find(name, found), session)

function close(a: Session, b: Session): void {
  for (const flag of ["uncured", "cured"] as const)
    a.chances[flag].forEach((chance, fault) => {
      expect(chance).toBeCloseTo(b.chances[flag][fault]!, 9)
    })
}

test("the order of what was told and read never changes the chances, nor does taking back and telling again", () => {
  fc.assert(
    fc.property(sketches(small), fc.infiniteStream(fc.nat(1e6)), fc.nat(1e6), (sketch, choices, pick) => {
      // A reading that two tests read is weighed each time, and the latest stands as the evidence: told apart by order.
      const graph = graphOf(
        modelOf({
          ...sketch,
          tests: sketch.tests
            .filter(
              (each, i) =>
                !each.reads ||
                !sketch.tests.slice(0, i).some((other) => other.reads?.some((r) => each.reads!.includes(r))),
            )
            .map(({ after: _, ...rest }) => rest),
        }),
      )
      const start = open(graph)
      const log = walk(start, choices, 7)
      const session = told(start, log)
      const machine = (found: Finding["found"]) => typeof found === "string"
      // Any two neighbours that do not both concern the machine's state may change places.
      const swapped = [...log]
      for (let n = 0; n < 12; n++) {
        const i = choices.next().value % Math.max(1, swapped.length - 1)
        const [a, b] = [swapped[i], swapped[i + 1]]
        if (!a || !b || machine(a.found) || machine(b.found)) continue
        swapped[i] = b
        swapped[i + 1] = a
      }
      close(told(start, swapped), session)
      if (!log.length) return
      const step = pick % log.length
      const one = log[step]!
      const undone = session.undo(step)
      const { test: fitter, putBack } = session.log[step]!
      const kept = log.filter((_, i) => {
        const entry = session.log[i]!
        return i !== step && (putBack || !entry.putBack || entry.test !== fitter)
      })
      // Without the putting back a later fitting of the same part is one into a machine that has it already.
      if (
        kept.some(
          ({ name }, i) =>
            putBack && i >= step && session.log[i + 1]!.test !== undefined && name !== one.name,
        )
      )
        return
      const never = told(start, kept)
      expect(undone.chances).toEqual(never.chances)
      expect(undone.log).toEqual(never.log)
      if (step === log.length - 1) close(undone.find(one.name, one.found), session)
    }),
    { numRuns: 150 },
  )
})

test("a graph is the same after a round trip through JSON, and a session never changes", () => {
  fc.assert(
    fc.property(sketches(small), fc.infiniteStream(fc.nat(1e6)), (sketch, choices) => {
      const graph = graphOf(modelOf(sketch))
      const start = open(graph)
      const before = JSON.stringify([start.log, start.chances, start.next])
      const log = walk(start, choices, 5)
      const again = open(JSON.parse(JSON.stringify(graph)))
      expect(told(again, log).chances).toEqual(told(start, log).chances)
      expect(JSON.stringify(told(again, log).next)).toBe(JSON.stringify(told(start, log).next))
      expect(JSON.stringify([start.log, start.chances, start.next])).toBe(before)
      expect(JSON.stringify(graph)).toBe(JSON.stringify(graphOf(modelOf(sketch))))
    }),
    { numRuns: 60 },
  )
})
