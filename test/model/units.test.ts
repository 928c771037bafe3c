import { describe, expect, test } from "vitest"
import { madeOf } from "../../compiler/model/dimensions.ts"
import { fractionOf, spell, toNumber } from "../../compiler/model/fraction.ts"
import { likelyUnit } from "../../compiler/model/unit-spellings.ts"
import { convert, convertExactly, unit, unitOf, unitSymbols } from "../../compiler/model/units.ts"
import { convert as convertAtTheBench } from "../../compiler/run/read.ts"

describe("fractions", () => {
  test.each([
    ["22.70", "22.7"],
    ["-.5", "-0.5"],
    ["−40", "-40"],
    ["1e-3", "0.001"],
    ["2.5e3", "2500"],
    ["007", "7"],
    ["-0", "0"],
  ])("%s is %s", (spelling, expected) => {
    expect(spell(fractionOf(spelling)!)).toBe(expected)
  })

  test.each(["", ".", "-", "1e", "0x10", "1_000", "NaN", "Infinity", "1e999999999", "1..2"])(
    "`%s` is no number",
    (spelling) => {
      expect(fractionOf(spelling)).toBeUndefined()
    },
  )

  test("come out as the double that the engine reads from the same spelling", () => {
    for (const spelling of [
      "0.1",
      "22.7",
      "1e-30",
      "123456789.123456789",
      "9007199254740993",
      "0.3333333333333333",
    ]) {
      expect(toNumber(fractionOf(spelling)!)).toBe(Number(spelling))
    }
  })
})

// SI brochure, 9th edition (2019): the prefixes from pico to tera that are in use at a bench (secondary source).
// biome-ignore format: a table
const PREFIXES: [string, number][] = [
  ["p", 1e-12], ["n", 1e-9], ["µ", 1e-6], ["m", 1e-3], ["c", 1e-2], ["d", 1e-1],
  ["h", 1e2], ["k", 1e3], ["M", 1e6], ["G", 1e9], ["T", 1e12],
]

describe("units", () => {
  test.each(PREFIXES)("prefix %s is %s", (prefix, factor) => {
    expect(convert(1, `${prefix}V`, "V")).toBe(factor)
    expect(convert(1, `${prefix}Pa`, "Pa")).toBe(factor)
  })

  // IEC 60027-2, taken over into IEC 80000-13: binary multiples (secondary source). Decimal ones: as above.
  test.each([
    ["KiB", 1024],
    ["MiB", 1_048_576],
    ["GiB", 1_073_741_824],
    ["TiB", 1_099_511_627_776],
    ["kB", 1e3],
    ["MB", 1e6],
    ["GB", 1e9],
  ])("1 %s is %d B", (symbol, bytes) => {
    expect(convert(1, symbol, "B")).toBe(bytes)
  })

  test.each([
    [850, "mV", "V", 0.85],
    [4.7, "kΩ", "ohm", 4700],
    [4.7, "k\u2126", "k\u03a9", 4.7],
    [100, "uF", "µF", 100],
    [100, "\u03bcF", "\u00b5F", 100],
    [90, "s", "min", 1.5],
    [1.5, "h", "min", 90], // 1 h = 60 min = 3600 s (memory)
    [1, "bar", "Pa", 1e5], // 1 bar = 100 kPa (memory)
    [1013.25, "mbar", "hPa", 1013.25],
    [100, "Mbit/s", "kbit/s", 1e5],
    [1, "MB/s", "Mbit/s", 8],
    [25, "mN", "N", 0.025],
    [12, "dNm", "Nm", 1.2],
    [2.5, "GHz", "MHz", 2500],
    [2600, "mAh", "Ah", 2.6],
    [1.2, "kvar", "var", 1200],
    [0.5, "L", "mL", 500],
    [1.5, "L/min", "L/h", 90],
    [36, "km/h", "m/s", 10],
    [3, "ft", "inch", 36],
    [1, "lb", "oz", 16],
    [1.5, "barg", "kPag", 150],
    [90, "°", "deg", 90],
  ])("%d %s in %s is %d", (value, from, to, expected) => {
    expect(convert(value, from, to)).toBe(expected)
  })

  // SI brochure, 9th edition (2019), p. 138: t/°C = T/K − 273.15, and an interval is the same in both (secondary source).
  test("a reading in °C and one in K have different zero points, a step has none", () => {
    expect(convert(0, "degC", "K")).toBe(273.15)
    expect(convert(300, "K", "°C")).toBe(26.85)
    expect(convert(0.5, "K", "degC", "difference")).toBe(0.5)
    expect(convert(500, "mK", "degC", "difference")).toBe(0.5)
    expect(convert(25, "°C", "degC")).toBe(25)
  })

  test.each([
    ["A", "V"],
    ["rpm", "Hz"], // kept apart: a motor's speed is not its supply's frequency
    ["Nm", "nm"],
    ["dB", "%"],
    ["min", "m"],
    ["B", "W"],
    ["deg", "degC"],
    ["dBm", "W"], // logarithmic
    ["dBm", "dB"],
    ["VA", "W"],
    ["var", "VA"],
    ["Ah", "Wh"],
    ["Wh", "W"],
    ["barg", "bar"], // the pressure of the air isn't known
    ["psig", "psi"],
    ["lm", "lx"],
    ["J", "Nm"],
    ["count", "%"],
  ])("%s does not convert to %s", (from, to) => {
    expect(unit(from)).toBeDefined()
    expect(unit(to)).toBeDefined()
    expect(convertExactly(fractionOf("1")!, from, to, "reading")).toBeUndefined()
  })

  test("symbols that could be read in two ways are the plain unit", () => {
    expect(unit("min")?.dimension).toBe("time")
    expect(unit("Nm")?.dimension).toBe("torque")
    expect(unit("nm")?.dimension).toBe("length")
    expect(unit("dB")?.dimension).toBe("level")
    expect(unit("Pa")?.dimension).toBe("pressure")
    expect(unit("h")?.dimension).toBe("time")
  })

  test.each([
    "v",
    "KB",
    "mdegC",
    "daV",
    "PB",
    "krpm",
    "k%",
    "mB",
    "kmin",
    "MHZ",
    "",
    "__proto__",
    "constructor",
    "toString",
  ])("`%s` is no unit", (symbol) => {
    expect(unit(symbol)).toBeUndefined()
  })

  test("every symbol converts to its like and back without loss", () => {
    const one = fractionOf("7.3")!
    for (const symbol of unitSymbols()) {
      const like = unitSymbols().filter((other) => unit(other)?.dimension === unit(symbol)?.dimension)
      for (const other of like.slice(0, 8)) {
        const there = convertExactly(one, symbol, other, "reading")!
        expect(spell(convertExactly(there, other, symbol, "reading")!)).toBe("7.3")
      }
    }
  })
})

// The runner imports nothing, so it has units of its own; what an author may write, a technician may enter.
test("the runner converts as the model does, and refuses what the model refuses", () => {
  const plain = [
    "V",
    "A",
    "ohm",
    "F",
    "Hz",
    "min",
    "degC",
    "K",
    "rpm",
    "%",
    "dB",
    "m",
    "g",
    "N",
    "Nm",
    "Pa",
    "B",
    "bit/s",
    ..."VA var Ah Wh degF dBm lm lx deg inch km/h L L/min lb psi psig count".split(" "),
  ]
  const amiss: string[] = []
  for (const symbol of unitSymbols()) {
    for (const other of plain) {
      const [ours, runners] = [convert(7.3, symbol, other), convertAtTheBench(7.3, symbol, other)]
      const same = ours === undefined ? runners === undefined : Math.abs(runners! / ours - 1) < 1e-11
      if (!same) amiss.push(`${symbol} in ${other}: ${ours}, at the bench ${runners}`)
    }
  }
  expect(amiss).toEqual([])
})

test("each unit is made of base units", () => {
  const powers = unitSymbols().map((symbol) => [symbol, madeOf(unitOf(symbol)).powers.size] as const)
  expect(powers.filter(([, size]) => size === 0).map(([symbol]) => symbol)).toEqual(["%", "count"])
})

// A suggestion that is a prefix off is a thousand times off, or a thousand million.
test.each([
  ["MOhm", "Mohm"],
  ["Mohms", "Mohm"],
  ["megohm", "Mohm"],
  ["mOhm", "mohm"],
  ["MHZ", "MHz"],
  ["mhz", "MHz"],
  ["mv", "mV"],
  ["Ma", "mA"],
  ["KB", "kB"],
  ["VDC", "V"],
  ["kohn", "kohm"],
  ["V/s", undefined],
  ["ml", "mL"],
  ["l/min", "L/min"],
  ["inches", "inch"],
  ["lbs", "lb"],
  ["Celsius", "degC"],
  ["pcs", "count"],
])("`%s` is most likely %s", (typed, meant) => {
  expect(likelyUnit(typed)).toBe(meant)
})
