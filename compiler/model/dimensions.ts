import { lookUp } from "../run/lookup.ts"
import { type Fraction, multiply, ONE } from "./fraction.ts"
import type { Unit } from "./units.ts"

/** Powers of base units: of the SI's, and of those of what has none there. Absent if the power is 0. */
export type Powers = ReadonlyMap<string, number>

const THOUSANDTH: Fraction = { top: 1n, bottom: 1000n }

/**
 * What a dimension is made of (SI brochure, 9th edition, tables 2 to 4), and the size of the unit that `units.ts` counts it
 * in. Levels are logarithmic, so that they are only added; turns, angles and bits are units of their own.
 */
// biome-ignore format: a table
const DIMENSIONS: ReadonlyMap<string, readonly [string, Fraction?]> = new Map(Object.entries<readonly [string, Fraction?]>({
  voltage: ["m2 kg s-3 A-1"],
  current: ["A"],
  power: ["m2 kg s-3"],
  "apparent power": ["m2 kg s-3"],
  "reactive power": ["m2 kg s-3"],
  "electric charge": ["A s"],
  energy: ["m2 kg s-2"],
  resistance: ["m2 kg s-3 A-2"],
  capacitance: ["m-2 kg-1 s4 A2"],
  inductance: ["m2 kg s-2 A-2"],
  frequency: ["s-1"],
  time: ["s"],
  temperature: ["K"],
  "rotational speed": ["turn"],
  percentage: ["", { top: 1n, bottom: 100n }],
  level: ["dB"],
  "power level": ["dB"],
  "luminous flux": ["cd"],
  illuminance: ["cd m-2"],
  angle: ["deg"],
  length: ["m"],
  speed: ["m s-1"],
  volume: ["m3", THOUSANDTH],
  flow: ["m3 s-1", { top: 1n, bottom: 3_600_000n }],
  mass: ["kg", THOUSANDTH],
  force: ["m kg s-2"],
  torque: ["m2 kg s-2"],
  pressure: ["m-1 kg s-2"],
  "gauge pressure": ["m-1 kg s-2"],
  "amount of data": ["bit"],
  "data rate": ["bit s-1"],
  number: [""],
}))

/** Powers of a unit, and its size in the units of those. */
export function madeOf({ dimension, factor }: Unit): { readonly powers: Powers; readonly size: Fraction } {
  const [text, size = ONE] = lookUp(DIMENSIONS, dimension)
  const powers = text.split(" ").flatMap((part): [string, number][] => {
    const [, base = "", power = "1"] = /^([A-Za-z]+)(-?\d+)?$/.exec(part) ?? []
    return base === "" ? [] : [[base, Number(power)]]
  })
  return { powers: new Map(powers), size: multiply(factor, size) }
}

/** `sign`: 1 for a product, -1 for a quotient. */
export function joined(a: Powers, b: Powers, sign: 1 | -1): Powers {
  const all = new Map(a)
  for (const [base, power] of b) all.set(base, (all.get(base) ?? 0) + sign * power)
  return new Map([...all].filter(([, power]) => power !== 0))
}

export function areSame(a: Powers, b: Powers): boolean {
  return a.size === b.size && [...a].every(([base, power]) => b.get(base) === power)
}
