/** Chance from a seed, so that the same ruleset always gives the same table. */

/** Numbers from 0 up to 1, without it. */
export type Random = () => number

/** mulberry32 (T. Ettinger 2017, public domain): short, and the same in every engine. */
export function seeded(seed: number): Random {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32
  }
}

/** The luck of one job, the same in every world, so that worlds differ by what they are and not by luck. */
export function generatorFor(job: number): Random {
  return seeded(Math.imul(job + 1, 0x9e3779b9))
}

/** An index, each as likely as its weight. */
export function pick(weights: readonly number[], random: Random): number {
  let left = random() * weights.reduce((sum, weight) => sum + weight, 0)
  const found = weights.findIndex((weight) => {
    left -= weight
    return left < 0
  })
  return found < 0 ? weights.findLastIndex((weight) => weight > 0) : found
}
