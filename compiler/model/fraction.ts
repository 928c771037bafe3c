/**
 * Exact fractions for numbers that authors write. In binary floating point `8.2 / 0.01` is 819.9999999999999; on
 * fractions of big integers it is 820, and a limit lands on the grid value that the author meant.
 */
export interface Fraction {
  readonly top: bigint
  /** Above zero; the pair need not be in lowest terms. */
  readonly bottom: bigint
}

/** Exponents beyond this name no quantity at a bench; they are cut off so that `1e999999999` costs nothing. */
const LONGEST_EXPONENT = 330
/** As long as a number can be that a double holds, written out; what is longer takes more time than it is worth. */
const LONGEST_SPELLING = 1_200

export function whole(value: number | bigint): Fraction {
  return { top: BigInt(value), bottom: 1n }
}

export const ZERO = whole(0)
export const ONE = whole(1)

/**
 * The exact value of a decimal spelling such as `-22.70` or `1e-3`; undefined for anything else. A Unicode minus sign
 * counts as a minus.
 */
export function fractionOf(spelling: string): Fraction | undefined {
  if (spelling.length > LONGEST_SPELLING) return undefined
  const match = /^([+\-−]?)(\d*)(?:\.(\d*))?(?:[eE]([+\-−]?\d+))?$/.exec(spelling)
  if (match === null) return undefined
  const [, sign = "", digits = "", decimals = "", exponent = "0"] = match
  if (digits === "" && decimals === "") return undefined
  const power = Number(exponent.replace("−", "-")) - decimals.length
  if (Math.abs(power) > LONGEST_EXPONENT + decimals.length) return undefined
  const top = BigInt(digits + decimals) * (sign === "" || sign === "+" ? 1n : -1n)
  return power >= 0 ? { top: top * 10n ** BigInt(power), bottom: 1n } : { top, bottom: 10n ** BigInt(-power) }
}

/** The fraction whose decimal spelling is the shortest one that reads back as `value` (finite). */
export function fractionOfNumber(value: number): Fraction {
  const fraction = fractionOf(String(value))
  if (fraction === undefined) throw new RangeError(`${value} is not a finite number`)
  return fraction
}

export function add(a: Fraction, b: Fraction): Fraction {
  if (a.bottom === b.bottom) return { top: a.top + b.top, bottom: a.bottom }
  return { top: a.top * b.bottom + b.top * a.bottom, bottom: a.bottom * b.bottom }
}

export function subtract(a: Fraction, b: Fraction): Fraction {
  return add(a, { top: -b.top, bottom: b.bottom })
}

export function multiply(a: Fraction, b: Fraction): Fraction {
  return { top: a.top * b.top, bottom: a.bottom * b.bottom }
}

/** `b` must not be zero. */
export function divide(a: Fraction, b: Fraction): Fraction {
  const sign = b.top < 0n ? -1n : 1n
  return { top: sign * a.top * b.bottom, bottom: sign * a.bottom * b.top }
}

/** Below, at or above zero as `a` is below, at or above `b`. */
export function compare(a: Fraction, b: Fraction): number {
  const left = a.top * b.bottom
  const right = b.top * a.bottom
  return left < right ? -1 : left > right ? 1 : 0
}

/** The greatest whole number not above `a`. */
export function floor(a: Fraction): bigint {
  const quotient = a.top / a.bottom
  return a.top < 0n && a.top % a.bottom !== 0n ? quotient - 1n : quotient
}

export function isWhole(a: Fraction): boolean {
  return a.top % a.bottom === 0n
}

const EXACT = 2n ** 53n

/** The nearest double: one correctly rounded division where both sides are exact as doubles. */
export function toNumber(a: Fraction): number {
  if (a.top > -EXACT && a.top < EXACT && a.bottom < EXACT) return Number(a.top) / Number(a.bottom)
  const divisor = commonDivisor(a.top < 0n ? -a.top : a.top, a.bottom)
  const top = a.top / divisor
  const bottom = a.bottom / divisor
  if (top > -EXACT && top < EXACT && bottom < EXACT) return Number(top) / Number(bottom)
  // Beyond that, twenty significant decimals and the engine's own correctly rounded reading of them.
  const size = String(top < 0n ? -top : top).length - String(bottom).length
  const shift = BigInt(Math.max(0, 20 - size))
  const scaled = (top * 10n ** shift) / bottom
  return Number(`${scaled}e-${shift}`)
}

/** Decimals that `a` needs to be written in full, at most `most`. */
export function decimalsOf(a: Fraction, most = 12): number {
  let scaled = a
  for (let decimals = 0; decimals < most; decimals++) {
    if (isWhole(scaled)) return decimals
    scaled = { top: scaled.top * 10n, bottom: scaled.bottom }
  }
  return most
}

/** Decimal spelling, rounded half away from zero to `decimals`, without trailing zeros: `22.8`. */
export function spell(a: Fraction, decimals = 12): string {
  const scale = 10n ** BigInt(decimals)
  const negative = a.top < 0n
  const rounded = (2n * (negative ? -a.top : a.top) * scale + a.bottom) / (2n * a.bottom)
  const digits = String(rounded).padStart(decimals + 1, "0")
  const head = digits.slice(0, digits.length - decimals)
  const tail = decimals === 0 ? "" : digits.slice(digits.length - decimals).replace(/0+$/, "")
  return (negative && rounded !== 0n ? "-" : "") + head + (tail === "" ? "" : `.${tail}`)
}

function commonDivisor(a: bigint, b: bigint): bigint {
  let [left, right] = [a, b]
  while (right !== 0n) [left, right] = [right, left % right]
  return left === 0n ? 1n : left
}
