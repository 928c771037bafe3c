/** Units in words and as they are often typed, by the symbol that they have here. */
const SYMBOLS: Readonly<Record<string, string>> = {
  V: "volt volts",
  mV: "millivolt millivolts",
  A: "amp amps ampere amperes",
  mA: "milliamp milliamps milliampere milliamperes",
  W: "watt watts",
  ohm: "ohms r",
  kohm: "kilohm kilohms kohms",
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

const BY_WORD = byWord(SYMBOLS)
const INSTEAD = byWord(OTHERS)

/** The symbol that is meant by a unit's name, like `V` by `volts`. */
export function symbolOf(word: string): string | undefined {
  return BY_WORD.get(word.toLowerCase())
}

/** What to use in place of a unit that is none here, in backticks. */
export function insteadOf(word: string): string | undefined {
  return INSTEAD.get(word.toLowerCase())
}
