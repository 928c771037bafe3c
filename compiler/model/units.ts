import { lookUp } from "../run/lookup.ts"
import { COUNT } from "../wording/figures.ts"
import {
  add,
  divide,
  type Fraction,
  fractionOfNumber,
  multiply,
  ONE,
  subtract,
  toNumber,
  whole,
  ZERO,
} from "./fraction.ts"

/**
 * The units that a number may carry. Sources: SI prefixes and t/°C = T/K − 273.15, with an interval the same in both:
 * SI brochure, 9th edition (2019), as quoted by secondary sources; binary multiples: IEC 60027-2, taken over into
 * IEC 80000-13, likewise; 1 bar = 100 kPa, 1 h = 60 min = 3600 s, 1 B = 8 bit: from memory. Inch, foot, mil, pound, ounce,
 * psi and °F: NIST Special Publication 811 (2008), appendix B; `test/published/units.test.ts` has its figures. `u` for the
 * micro sign is common practice on keyboards, and so is the `g` of gauge pressure.
 *
 * Some things that could be converted are kept apart on purpose, since at the bench the mix-up is the likelier meaning:
 * rpm and Hz (a motor's speed is not its supply's frequency), N·m and J, dB and plain ratios. Others can't be: apparent
 * and reactive power have no watts without the power factor, gauge pressure no absolute one without that of the air; and
 * dBm is logarithmic, so that equal steps of it are no equal steps of watts. `whyApart` says so to whoever mixes them.
 */
export interface Unit {
  /** As written, like `mV`. */
  readonly symbol: string
  /** In words, like `voltage`: units convert within a dimension and not beyond. */
  readonly dimension: string
  /** Size of the unit in the dimension's base unit. */
  readonly factor: Fraction
  /** Base units at which the unit's scale has its zero; other than 0 for °C and °F alone. */
  readonly zero: Fraction
}

/** A temperature as a thermometer shows it, or a step or tolerance, which has no zero point. */
export type Sense = "reading" | "difference"

/** Symbol and power of ten: those of the SI's prefixes that are met at a bench. The micro sign has two code points. */
// biome-ignore format: a table
const SI: readonly (readonly [string, number])[] = [
  ["p", -12], ["n", -9], ["\u00b5", -6], ["\u03bc", -6], ["u", -6], ["m", -3], ["c", -2], ["d", -1],
  ["h", 2], ["k", 3], ["M", 6], ["G", 9], ["T", 12],
]
const UPWARD = SI.filter(([, power]) => power >= 3)
const BINARY: readonly string[] = ["Ki", "Mi", "Gi", "Ti"]

const KELVIN_AT_0_CELSIUS: Fraction = { top: 27315n, bottom: 100n }
const KELVIN_PER_FAHRENHEIT: Fraction = { top: 5n, bottom: 9n }
const KELVIN_AT_0_FAHRENHEIT = multiply({ top: 45967n, bottom: 100n }, KELVIN_PER_FAHRENHEIT)
const INCH: Fraction = { top: 254n, bottom: 10_000n }
const FOOT = multiply(INCH, whole(12))
const MIL = divide(INCH, whole(1000))
/** In grams; the exact value is in the footnote to the table. */
const POUND: Fraction = { top: 45_359_237n, bottom: 100_000n }
const OUNCE = divide(POUND, whole(16))
const STANDARD_GRAVITY: Fraction = { top: 980_665n, bottom: 100_000n }
const PSI = divide(multiply(divide(POUND, whole(1000)), STANDARD_GRAVITY), multiply(INCH, INCH))
const BAR = whole(100_000)
const HOUR = whole(3600)

/** Prefixes that a unit takes: all of the above, only multiples from kilo up, those and the binary ones, or none. */
type Prefixes = "all" | "multiples" | "data" | "none"

// biome-ignore format: a table
const BASES: readonly (readonly [string, string, Fraction, Prefixes, Fraction?])[] = [
  ["V", "voltage", ONE, "all"],
  ["A", "current", ONE, "all"],
  ["W", "power", ONE, "all"],
  ["VA", "apparent power", ONE, "all"],
  ["var", "reactive power", ONE, "all"],
  ["Ah", "electric charge", HOUR, "all"],
  ["J", "energy", ONE, "all"],
  ["Wh", "energy", HOUR, "all"],
  ["ohm", "resistance", ONE, "all"],
  ["\u03a9", "resistance", ONE, "all"], // Greek omega
  ["\u2126", "resistance", ONE, "all"], // ohm sign
  ["F", "capacitance", ONE, "all"],
  ["H", "inductance", ONE, "all"],
  ["Hz", "frequency", ONE, "all"],
  ["s", "time", ONE, "all"],
  ["min", "time", whole(60), "none"],
  ["h", "time", HOUR, "none"],
  ["K", "temperature", ONE, "all"],
  ["degC", "temperature", ONE, "none", KELVIN_AT_0_CELSIUS],
  ["°C", "temperature", ONE, "none", KELVIN_AT_0_CELSIUS],
  ["\u2103", "temperature", ONE, "none", KELVIN_AT_0_CELSIUS], // one-character °C
  ["degF", "temperature", KELVIN_PER_FAHRENHEIT, "none", KELVIN_AT_0_FAHRENHEIT],
  ["°F", "temperature", KELVIN_PER_FAHRENHEIT, "none", KELVIN_AT_0_FAHRENHEIT],
  ["\u2109", "temperature", KELVIN_PER_FAHRENHEIT, "none", KELVIN_AT_0_FAHRENHEIT], // one-character °F
  ["rpm", "rotational speed", ONE, "none"],
  ["%", "percentage", ONE, "none"],
  ["dB", "level", ONE, "none"],
  ["dBm", "power level", ONE, "none"],
  ["lm", "luminous flux", ONE, "all"],
  ["lx", "illuminance", ONE, "all"],
  ["deg", "angle", ONE, "none"],
  ["°", "angle", ONE, "none"],
  ["m", "length", ONE, "all"],
  ["inch", "length", INCH, "none"],
  ["ft", "length", FOOT, "none"],
  ["mil", "length", MIL, "none"],
  ["m/s", "speed", ONE, "all"],
  ["km/h", "speed", divide(whole(1000), HOUR), "none"],
  ["L", "volume", ONE, "all"],
  ["L/h", "flow", ONE, "all"],
  ["L/min", "flow", whole(60), "all"],
  ["g", "mass", ONE, "all"],
  ["oz", "mass", OUNCE, "none"],
  ["lb", "mass", POUND, "none"],
  ["N", "force", ONE, "all"],
  ["Nm", "torque", ONE, "all"],
  ["Pa", "pressure", ONE, "all"],
  ["bar", "pressure", BAR, "all"],
  ["psi", "pressure", PSI, "none"],
  ["Pag", "gauge pressure", ONE, "all"],
  ["barg", "gauge pressure", BAR, "all"],
  ["psig", "gauge pressure", PSI, "none"],
  ["bit", "amount of data", ONE, "data"],
  ["B", "amount of data", whole(8), "data"],
  ["bit/s", "data rate", ONE, "data"],
  ["B/s", "data rate", whole(8), "data"],
  [COUNT, "number", ONE, "none"],
]

const UNITS = everyUnit()

function everyUnit(): ReadonlyMap<string, Unit> {
  const units = new Map<string, Unit>()
  const put = (symbol: string, dimension: string, factor: Fraction, zero: Fraction): void => {
    if (!units.has(symbol)) units.set(symbol, { symbol, dimension, factor, zero })
  }
  // Plain symbols first: `min` is the minute and `Nm` the newton metre, whatever a prefix could make of them.
  for (const [symbol, dimension, factor, , zero] of BASES) put(symbol, dimension, factor, zero ?? ZERO)
  for (const [symbol, dimension, factor, prefixes] of BASES) {
    if (prefixes === "none") continue
    for (const [prefix, power] of prefixes === "all" ? SI : UPWARD) {
      put(prefix + symbol, dimension, multiply(factor, tenTo(power)), ZERO)
    }
    if (prefixes !== "data") continue
    BINARY.forEach((prefix, i) => {
      put(prefix + symbol, dimension, multiply(factor, whole(1024n ** BigInt(i + 1))), ZERO)
    })
  }
  return units
}

function tenTo(power: number): Fraction {
  return power >= 0 ? whole(10n ** BigInt(power)) : { top: 1n, bottom: 10n ** BigInt(-power) }
}

/** The unit of that symbol; undefined if there is none. */
export function unit(symbol: string): Unit | undefined {
  return UNITS.get(symbol)
}

/** The unit of a symbol that is in the table, as those of a model are. */
export function unitOf(symbol: string): Unit {
  return lookUp(UNITS, symbol)
}

/** All symbols, plain ones first: candidates for help with a misspelt one. */
export function unitSymbols(): readonly string[] {
  return [...UNITS.keys()]
}

/**
 * `value` in `from`, expressed in `to`, exactly; undefined if the two are not of one dimension or unknown. As a
 * `reading`, 25 °C is 298.15 K; as a `difference`, a step of 0.5 K is a step of 0.5 °C.
 */
export function convertExactly(
  value: Fraction,
  from: string,
  to: string,
  sense: Sense,
): Fraction | undefined {
  const source = UNITS.get(from)
  const target = UNITS.get(to)
  if (source === undefined || target === undefined || source.dimension !== target.dimension) return undefined
  if (source === target) return value
  const scaled = multiply(value, source.factor)
  const base = sense === "reading" ? subtract(add(scaled, source.zero), target.zero) : scaled
  return divide(base, target.factor)
}

/** `convertExactly` for doubles: the value meant is the shortest decimal that reads back as `value` (finite). */
export function convert(
  value: number,
  from: string,
  to: string,
  sense: Sense = "reading",
): number | undefined {
  const exact = convertExactly(fractionOfNumber(value), from, to, sense)
  return exact === undefined ? undefined : toNumber(exact)
}
