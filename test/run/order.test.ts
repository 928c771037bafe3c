import fc from "fast-check"
import { expect, test } from "vitest"
import { type Done, open, type Session } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { type Size, sketches, tiny } from "../support/models.ts"
import { modelOf, type Sketch } from "../support/sketch.ts"

const small: Size = { ...tiny, faults: 5, readings: 3, told: 2, tests: 6, rules: 0, nevers: 0 }

/** Some steps that may be done in turn, drawn from what each says can be found. */
function walk(session: Session, choices: Iterator<number>, most: number): Session {
  let so = session
  for (let i = 0; i < most && done(so).at(-1)?.found !== "holds"; i++) {
    const steps = so.steps.filter((step) => step.outcomes.length)
    if (!steps.length) break
    const step = steps[choices.next().value % steps.length]!
    so = so.find(step.act, step.outcomes[choices.next().value % step.outcomes.length]!.found)
  }
  return so
}

const done = (session: Session) => session.log.filter((entry): entry is Done => "act" in entry)
const told = (session: Session, log: readonly Done[]) =>
  log.reduce((so, { act, found, leftIn = false }) => so.find(act, found, { leftIn }), session)

function close(a: Session, b: Session): void {
  const key = ({ faults, cured }: Session["hypotheses"][number]) => `${faults}/${cured}`
  const chances = new Map(a.hypotheses.map((each) => [key(each), each.chance]))
  for (const each of b.hypotheses) expect(chances.get(key(each)) ?? 0).toBeCloseTo(each.chance, 9)
  expect(b.hypotheses.length).toBe(a.hypotheses.length)
}

const free = (sketch: Sketch): Sketch => ({
  ...sketch,
  tests: sketch.tests.map(({ after: _, afterAny: __, onlyIf: ___, ...rest }) => rest),
})

test("without rules the order of findings never changes the chances, nor does taking back and telling again", () => {
  fc.assert(
    fc.property(sketches(small), fc.infiniteStream(fc.nat(1e6)), fc.nat(1e6), (sketch, choices, pick) => {
      const start = open(graphOf(modelOf(free(sketch))))
      const session = walk(start, choices, 6)
      const log = done(session)
      // Any two neighbours that both only find something may change places.
      const swapped = [...log]
      for (let n = 0; n < 12; n++) {
        const i = choices.next().value % Math.max(1, swapped.length - 1)
        const [a, b] = [swapped[i], swapped[i + 1]]
        if (!a || !b || typeof a.found === "string" || typeof b.found === "string") continue
        swapped[i] = b
        swapped[i + 1] = a
      }
      close(told(start, swapped), session)
      if (log.length === 0) return
      const last = log.at(-1)!
      close(told(session.undo(log.length - 1), [last]), session)
      const readings = log.flatMap(({ found }, i) => (typeof found === "string" ? [] : [i]))
      if (readings.length === 0) return
      const step = readings[pick % readings.length]!
      close(
        session.undo(step),
        told(
          start,
          log.filter((_, i) => i !== step),
        ),
      )
    }),
    { numRuns: 50 },
  )
})

test("a graph is the same after a round trip through JSON, and a session never changes", () => {
  fc.assert(
    fc.property(sketches({ ...small, rules: 3 }), fc.infiniteStream(fc.nat(1e6)), (sketch, choices) => {
      const graph = graphOf(modelOf(sketch))
      const text = JSON.stringify(graph)
      const start = open(graph)
      const before = JSON.stringify([start.log, start.hypotheses, start.next])
      const session = walk(start, choices, 4)
      const again = told(open(JSON.parse(text)), done(session))
      expect(again.hypotheses).toEqual(session.hypotheses)
      expect(JSON.stringify(again.next)).toBe(JSON.stringify(session.next))
      expect(JSON.stringify([start.log, start.hypotheses, start.next])).toBe(before)
      expect(JSON.stringify(graph)).toBe(text)
    }),
    { numRuns: 10 },
  )
})
