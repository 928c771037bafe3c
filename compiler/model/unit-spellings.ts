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
  degC: "celsius centigrade c degree degrees deg",
  rpm: "rounds revolutions",
  "%": "percent",
  dB: "decibel decibels",
  m: "meter meters metre metres",
  mm: "millimeter millimeters millimetre millimetres",
  g: "gram grams gramme grammes",
  kg: "kilo kilos kilogram kilograms",
  N: "newton newtons",
  bar: "bars",
}

/** Units that are not among ours, by the symbols of the same dimension that are. */
const OTHERS: Readonly<Record<string, string>> = {
  "`degC`": "°f degf fahrenheit",
  "`bar` or `kPa`": "psi",
  "`mm` or `m`": "in inch inches ft feet mil mils",
  "`g` or `kg`": "oz lb lbs",
  "`Nm`": "lbft ftlb",
}

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

/** What to use in place of a unit that Ruleout doesn't have, in backticks. */
export function unitToUseInstead(word: string): string | undefined {
  return INSTEAD.get(word.toLowerCase())
}
