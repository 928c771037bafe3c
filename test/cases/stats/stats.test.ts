import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { brier, Reliability } from "../../../compiler/cases/stats/brier.ts"
import { inverse } from "../../../compiler/cases/stats/inverse.ts"
import { mcnemar } from "../../../compiler/cases/stats/mcnemar.ts"
import { bootstrap, PairedMeans } from "../../../compiler/cases/stats/paired-means.ts"
import { wilson } from "../../../compiler/cases/stats/wilson.ts"

describe("Wilson's interval", () => {
  // R. G. Newcombe 1998, table I: checked in test/published/figures.test.ts. Here: that it solves its own equation.
  test("its ends are where the normal test just rejects", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 2000 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (of, part) => {
          const count = Math.round(part * of)
          const { low, high, share } = wilson(count, of)
          const z = (p: number) => Math.abs(share - p) / Math.sqrt((p * (1 - p)) / of)
          if (count > 0) expect(z(low)).toBeCloseTo(1.959964, 5)
          if (count < of) expect(z(high)).toBeCloseTo(1.959964, 5)
          expect(low <= share && share <= high).toBe(true)
        },
      ),
    )
  })

  test("of nothing, nothing is known", () => {
    expect(wilson(0, 0)).toEqual({ count: 0, of: 0, share: 0, low: 0, high: 1 })
  })
})

describe("paired differences", () => {
  test("the same pairs give the same interval, around the mean", () => {
    const pairs = [3, -1, 4, -1, 5, -9, 2, 6]
    expect(bootstrap(pairs)).toEqual(bootstrap(pairs))
    const [low, high] = bootstrap(pairs)
    const mean = pairs.reduce((sum, each) => sum + each, 0) / pairs.length
    expect(low < mean && mean < high).toBe(true)
  })

  test("bootstrap and normal interval agree where there are many", () => {
    const means = [new PairedMeans(), new PairedMeans()]
    for (let i = 0; i < 2000; i++) means[0]!.add((i * 7919) % 101, 40)
    for (let i = 0; i < 2020; i++) means[1]!.add((i * 7919) % 101, 40)
    const [few, many] = means.map((each) => each.result()!)
    expect([few!.method, many!.method]).toEqual(["bootstrap", "normal"])
    expect(many!.low).toBeCloseTo(few!.low, 0)
    expect(many!.high).toBeCloseTo(few!.high, 0)
    // Mean 50 of 0…100 evenly; its standard deviation is sqrt((101² − 1) / 12) = 29.15.
    expect(many!.high - many!.low).toBeCloseTo((2 * 1.96 * 29.15) / Math.sqrt(2020), 1)
  })

  test("one pair, and none", () => {
    const one = new PairedMeans()
    expect(one.result()).toBeUndefined()
    one.add(5, 3)
    expect(one.result()).toEqual({
      cases: 1,
      walked: 5,
      recorded: 3,
      difference: 2,
      low: 2,
      high: 2,
      method: "bootstrap",
    })
  })
})

describe("reliability", () => {
  test("bins hold what was said against what came", () => {
    const all = new Reliability()
    for (const [chance, came] of [
      [0.92, true],
      [0.94, false],
      [1, true],
      [0.3, false],
    ] as const)
      all.add(chance, came)
    const { bins, score, cases } = all.result()!
    expect(cases).toBe(4)
    expect(bins.map(({ from, held }) => [from, held.count, held.of])).toEqual([
      [0, 0, 1],
      [0.9, 1, 2],
      [0.95, 1, 1],
    ])
    expect(bins[1]!.said).toBeCloseTo(0.93, 12)
    expect(score).toBeCloseTo((2 * (0.08 ** 2 + 0.94 ** 2 + 0.3 ** 2)) / 4, 12)
  })

  test("a fault outside the list costs its whole square", () => {
    expect(brier([0.5, 0.5], -1)).toBeCloseTo(1.5, 12)
    expect(brier([1, 0], 0)).toBe(0)
    expect(brier([1, 0], 1)).toBe(2)
  })
})

describe("exact McNemar test", () => {
  test.each([
    // By hand: 2 (1 + 10) / 2^10, 2 / 2^5, 2 (1 + 12 + 66) / 2^12.
    { gained: 9, lost: 1, p: 22 / 1024 },
    { gained: 0, lost: 5, p: 2 / 32 },
    { gained: 2, lost: 10, p: (2 * 79) / 4096 },
    { gained: 4, lost: 4, p: 1 },
    { gained: 0, lost: 0, p: 1 },
  ])("$gained gained, $lost lost", ({ gained, lost, p }) => {
    expect(mcnemar(gained, lost)).toBeCloseTo(p, 12)
  })

  test("agrees with the sum of the binomial, term by term, for all small splits", () => {
    const choose = (n: number, k: number): number => (k === 0 ? 1 : (choose(n, k - 1) * (n - k + 1)) / k)
    for (let n = 1; n <= 40; n++)
      for (let k = 0; 2 * k < n; k++) {
        let tail = 0
        for (let i = 0; i <= k; i++) tail += choose(n, i)
        expect(mcnemar(k, n - k)).toBeCloseTo(Math.min(1, (2 * tail) / 2 ** n), 12)
      }
  })

  test("holds for more cases than a power of one half can tell from nothing", () => {
    expect(mcnemar(49_000, 51_000)).toBeCloseTo(2.6e-10, 10)
    expect(mcnemar(0, 2000)).toBe(0)
  })
})

test("the inverse of a matrix undoes it, however nearly it squeezes some direction away", () => {
  const size = fc.integer({ min: 1, max: 8 })
  const entry = fc.double({ min: -3, max: 3, noNaN: true })
  const square = size.chain((n) =>
    fc.array(fc.array(entry, { minLength: n, maxLength: n }), { minLength: n, maxLength: n }),
  )
  fc.assert(
    fc.property(square, (factor) => {
      const dot = (a: readonly number[], b: readonly number[]) =>
        a.reduce((sum, x, i) => sum + x * (b[i] ?? 0), 0)
      const matrix = factor.map((a, i) =>
        Float64Array.from(factor, (b, j) => dot(a, b) + (i === j ? 1e-3 : 0)),
      )
      const undone = inverse(matrix)
      for (const [i, row] of matrix.entries())
        for (const [j, column] of undone.entries())
          expect(dot([...row], [...column])).toBeCloseTo(i === j ? 1 : 0, 6)
    }),
  )
})
