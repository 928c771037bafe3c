import { closest } from "../diagnostics/suggest.ts"
import { unitSymbols } from "./units.ts"

/** Units in words and as they are often typed, by the symbol that they have here. */
const SYMBOLS: Readonly<Record<string, string>> = {
  V: "volt volts vdc vac",
  mV: "millivolt millivolts",
  A: "amp amps ampere amperes",
  mA: "milliamp milliamps milliampere milliamperes",
  W: "watt watts",
  ohm: "ohms r",
  kohm: "kilohm kilohms kohms",
  Mohm: "megohm megohms meg",
  uF: "mfd microfarad microfarads",
  min: "minute minutes",
  h: "hour hours hr hrs",
  s: "second seconds sec secs",
  Hz: "hertz",
  degC: "celsius centigrade c",
  degF: "fahrenheit degrees_f",
  rpm: "rounds revolutions",
  "%": "percent",
  dB: "decibel decibels",
  VA: "voltampere voltamperes",
  Ah: "amphour amphours",
  Wh: "watthour watthours",
  kWh: "kilowatthour kilowatthours",
  J: "joule joules",
  lm: "lumen lumens",
  lx: "lux",
  L: "liter liters litre litres",
  "L/min": "lpm",
  "km/h": "kmh kph",
  m: "meter meters metre metres",
  inch: "in inches",
  ft: "foot feet",
  mil: "mils thou",
  oz: "ounce ounces",
  lb: "lbs pound pounds",
  mm: "millimeter millimeters millimetre millimetres",
  g: "gram grams gramme grammes",
  kg: "kilo kilos kilogram kilograms",
  N: "newton newtons",
  bar: "bars bara",
  psi: "psia",
  count: "pcs pieces times counts",
}

/** Units that are not among ours, by the symbols of the same dimension that are, and words that say too little. */
const OTHERS: Readonly<Record<string, string>> = {
  "`degC`, or in `deg` if it is an angle": "degree degrees",
  "`Nm`": "lbft ftlb inlb",
  "`km/h`": "mph mi/h",
  "`L`": "gal gallon gallons",
  "`L/min`": "gpm cfm",
  "`J` or `kWh`": "btu cal kcal",
  "`W` or `kW`": "hp",
  "`Pa` or `bar`": "atm torr mmhg inhg",
}

/** Pairs of dimensions that are easily mixed up, and why a number in the one is none in the other. */
const APART: readonly (readonly [string, string, string])[] = [
  ["rotational speed", "frequency", "The speed of a motor is not the frequency of its supply"],
  ["torque", "energy", "A torque in `Nm` is not an energy, though both are a force by a length"],
  ["level", "percentage", "`dB` is logarithmic"],
  ["level", "power level", "`dB` says how two levels differ, `dBm` how a level differs from 1 mW"],
  ["power level", "power", "`dBm` is logarithmic: 0 dBm is 1 mW, and 10 dBm more are ten times as much"],
  ["apparent power", "power", "`VA` are only `W` where the power factor is 1"],
  ["reactive power", "power", "`var` is the power that flows back and forth, `W` the power used"],
  ["apparent power", "reactive power", "`VA` are not `var`: they hold the power used as well"],
  ["electric charge", "energy", "`Ah` are only `Wh` once the voltage is known"],
  ["electric charge", "current", "`Ah` is a charge; a current flows in `A`"],
  ["energy", "power", "`Wh` is an energy; a power is used in `W`"],
  ["luminous flux", "illuminance", "`lm` is what a lamp gives, `lx` what falls on a square metre"],
  [
    "gauge pressure",
    "pressure",
    "`barg`, `kPag` and `psig` count from the pressure of the air, `bar`, `kPa` and `psi` from vacuum",
  ],
]

function byWord(table: Readonly<Record<string, string>>): ReadonlyMap<string, string> {
  return new Map(
    Object.entries(table).flatMap(([meant, words]) => words.split(" ").map((word) => [word, meant] as const)),
  )
}

/** Nobody means these by `mhz`, `Ma` or `Mv` (common practice). */
const UNLIKELY: ReadonlySet<string> = new Set(["mHz", "MA", "MV"])

const BY_WORD = byWord(SYMBOLS)
const INSTEAD = byWord(OTHERS)

/** The symbol that is most likely meant by a unit's name or a misspelt symbol, like `V` by `volts`. */
export function likelyUnit(word: string): string | undefined {
  const named = BY_WORD.get(word.toLowerCase())
  if (named !== undefined) return named
  // The closest name knows no capitals, but between mega and milli nothing else tells; ties go to the first.
  const symbols = unitSymbols().filter((symbol) => !UNLIKELY.has(symbol))
  const near = closest(word, symbols.filter((symbol) => symbol[0] === word[0]).concat(symbols))
  // In so short a word, one letter for another makes another unit and not a misspelling.
  return near !== undefined && word.length < 4 && near.toLowerCase() !== word.toLowerCase() ? undefined : near
}

/** Why a number of one dimension is none of the other, as a sentence without its full stop; undefined if nobody mixes them up. */
export function whyApart(one: string, other: string): string | undefined {
  return APART.find(([a, b]) => (a === one && b === other) || (a === other && b === one))?.[2]
}

/** What to use in place of a unit that Ruleout doesn't have, in backticks. */
export function unitToUseInstead(word: string): string | undefined {
  return INSTEAD.get(word.toLowerCase())
}
