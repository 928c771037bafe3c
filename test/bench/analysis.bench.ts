import { check } from "../../compiler/check/check.ts"
import { Context } from "../../compiler/check/context.ts"
import { contradictions } from "../../compiler/check/proofs/contradictions.ts"
import { deadFaults } from "../../compiler/check/proofs/dead-faults.ts"
import { idleRules } from "../../compiler/check/proofs/idle-rules.ts"
import { opposedPairs } from "../../compiler/check/proofs/opposed-rules.ts"
import type { Model } from "../../compiler/model/model.ts"
import { type Extent, realistic, worst } from "../check/large.ts"
import { questionsOf, scriptFor, startZ3 } from "../check/z3.ts"
import { seeded } from "../support/models.ts"
import { Diagrams } from "./diagrams.ts"
import { cpuSeconds, ms, times } from "./time.ts"

export const title = "Analysis: all questions over the findings that can occur"

/** Sizes from a small shop's ruleset to a manufacturer's, everything growing together. */
const together: readonly Extent[] = [
  { rules: 50, faults: 30, readings: 20 },
  { rules: 125, faults: 60, readings: 40 },
  { rules: 320, faults: 120, readings: 75 },
  { rules: 800, faults: 250, readings: 150 },
  { rules: 2000, faults: 500, readings: 300 },
]
const middle: Extent = { rules: 320, faults: 120, readings: 75 }

export async function run(print: (line: string) => void): Promise<void> {
  // Warms up: the first run is the compiler of the engine at work.
  for (let i = 0; i < 5; i++) check(realistic(seeded(i), together[1]!))
  growth(print, "rules, faults and readings together", together, ({ rules }) => rules)
  growth(
    print,
    "rules alone",
    [50, 125, 320, 800, 2000].map((rules) => ({ ...middle, rules })),
    ({ rules }) => rules,
  )
  growth(
    print,
    "faults alone",
    [30, 60, 120, 250, 500].map((faults) => ({ ...middle, faults })),
    ({ faults }) => faults,
  )
  growth(
    print,
    "readings alone",
    [20, 40, 75, 150, 300].map((readings) => ({ ...middle, readings })),
    ({ readings }) => readings,
  )
  worstCase(print)
  diagrams(print)
  await againstZ3(print)
}

/** Processor time, since the machine may be busy with other things; the least of several runs. */
function processor(work: () => unknown): number {
  let least = Number.POSITIVE_INFINITY
  let all = 0
  // Until the engine has warmed up, its own threads are in the figure: small sizes would look dearer than they are.
  for (let n = 0; n < 5 || (n < 30 && all < 1500); n++) {
    const from = cpuSeconds()
    work()
    const taken = 1000 * (cpuSeconds() - from)
    all += taken
    least = Math.min(least, taken)
  }
  return least
}

function growth(
  print: (line: string) => void,
  what: string,
  sizes: readonly Extent[],
  size: (extent: Extent) => number,
): void {
  print(`growth with ${what}:`)
  const points = sizes.map((extent) => {
    const model = realistic(seeded(5), extent)
    const taken = processor(() => check(model))
    print(`  ${extent.rules} rules, ${extent.faults} faults, ${extent.readings} readings: ${ms(taken)}`)
    return [Math.log(size(extent)), Math.log(taken)] as const
  })
  print(`  time grows with size to the power of ${slope(points).toFixed(2)} (goal: at most 1.5)`)
}

/** Least squares on the logarithms. */
function slope(points: readonly (readonly [number, number])[]): number {
  const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length
  const [x, y] = [mean(points.map(([a]) => a)), mean(points.map(([, b]) => b))]
  const over = points.reduce((sum, [a, b]) => sum + (a - x) * (b - y), 0)
  return over / points.reduce((sum, [a]) => sum + (a - x) ** 2, 0)
}

function worstCase(print: (line: string) => void): void {
  print(
    "worst case, whether findings leave no fault as random 3-SAT where it is hardest (nobody writes such rulesets):",
  )
  for (const readings of [20, 40, 60, 80, 100]) {
    const model = worst(seeded(9), readings)
    let conflicts = 0
    let found = 0
    const taken = processor(() => {
      const context = new Context(model, undefined, { effort: 1 })
      found = contradictions(context).length
      conflicts = context.space.solver.conflicts
    })
    print(
      `  ${readings} readings, ${model.faults.length} faults: ${ms(taken)}, ${conflicts} conflicts, ${found > 0 ? "there are some" : "there are none"}`,
    )
  }
}

/** The same two questions with decision diagrams: every rule with the `never`s, and whether findings leave no fault. */
function diagrams(print: (line: string) => void): void {
  print("against multi-valued decision diagrams (cost of building them; theirs over ours):")
  for (const extent of together.slice(0, 4)) {
    const model = realistic(seeded(5), extent, false)
    const reach = processor(() => new Context(model).unreachable)
    const hole = processor(() => contradictions(new Context(model)))
    const sizes = model.readings.map((reading) => reading.cells.length)
    const context = new Context(model)
    const build = (work: (diagrams: Diagrams, allowed: number) => void): string => {
      const made = new Diagrams(sizes)
      const from = cpuSeconds()
      try {
        work(made, made.not(made.any(context.space.nevers.map((never) => made.of(never)))))
      } catch (problem) {
        if (problem instanceof RangeError) return `gave up at ${Diagrams.LIMIT.toLocaleString("en")} nodes`
        throw problem
      }
      return `${ms(1000 * (cpuSeconds() - from))}, ${made.size.toLocaleString("en")} nodes`
    }
    const rules = build((made, allowed) => {
      for (const rule of model.rules.keys()) made.all([allowed, made.of(context.eliminations[rule]!.formula)])
    })
    const holes = build((made, allowed) => {
      const out = context.against.map((list) =>
        made.any(list.map((i) => made.of(context.eliminations[i]!.formula))),
      )
      made.all([allowed, ...out])
    })
    print(
      `  ${extent.rules} rules: reachable ${rules} (ours ${ms(reach)}); no fault left ${holes} (ours, with witnesses, ${ms(hole)})`,
    )
  }
}

async function againstZ3(print: (line: string) => void): Promise<void> {
  print(
    "against z3-solver, the same questions, start-up and parsing left out (ours with the smallest witnesses, theirs without):",
  )
  const z3 = await startZ3()
  for (const extent of together.slice(0, 3)) {
    const model = realistic(seeded(5), extent)
    const questions = questionsOf(model)
    const solver = z3.load(scriptFor(model, questions))
    const theirs = await solver.time(questions.length)
    const ours = processor(() => allOf(model))
    print(
      `  ${extent.rules} rules, ${questions.length} questions: z3 ${ms(theirs.processor)} (waiting included ${ms(theirs.elapsed)}), ours ${ms(ours)}: ${times(theirs.processor, ours)}`,
    )
  }
  z3.end()
}

function allOf(model: Model): void {
  const context = new Context(model)
  for (const each of context.once(idleRules)) each.explain()
  for (const each of context.once(opposedPairs)) each.explain()
  for (const each of context.once(deadFaults)) each.explain()
  contradictions(context)
}
