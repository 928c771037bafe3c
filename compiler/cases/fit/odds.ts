import { type Counts, sum } from "./counts.ts"

const ROUNDS = 200
const STILL = 1e-10

/**
 * By fault: its share of the odds. Two faults of one machine are two draws by the odds that did not come out alike: those
 * that did are counted as if they had come and been refused, so that what is frequent does not look rarer than it is.
 * `before`: odds that count as `weight` cases.
 */
export function oddsShares({ odds, states }: Counts, before: Float64Array, weight: number): Float64Array {
  const pairs = states[1] ?? 0
  const thought = shared(before)
  const normal = (all: Float64Array) => (sum(all) > 0 ? shared(all) : thought)
  const counted = odds.map((n, f) => n + weight * (thought[f] ?? 0))
  let shares = normal(counted)
  for (let round = 0; pairs > 0 && round < ROUNDS; round++) {
    const alike = sum(shares.map((share) => share * share))
    if (alike >= 1) break
    const last = shares
    shares = normal(counted.map((n, f) => n + (2 * pairs * (last[f] ?? 0) ** 2) / (1 - alike)))
    if (shares.every((share, f) => Math.abs(share - (last[f] ?? 0)) < STILL)) break
  }
  return shares
}

function shared(all: Float64Array): Float64Array {
  const total = sum(all)
  return all.map((n) => n / total)
}
