import { describe, expect, test } from "vitest"
import { typedNumber } from "../../compiler/wording/typed-number.ts"

describe("numbers as people write them", () => {
  test.each([
    ["1.5", "1.5 V"],
    ["1,5", "1.5 V"],
    ["  1,5 V ", "1.5 V"],
    ["1,5V", "1.5V"],
    ["22,75", "22.75 V"],
    ["0,500", "0.500 V"],
    ["0,025 kV", "0.025 kV"],
    [",5", ".5 V"],
    ["1.500", "1.500 V"], // a point is a decimal point everywhere in Ruleout
    ["1 500", "1500 V"],
    ["1\u202f500", "1500 V"],
    ["1\u00a0500,25 mV", "1500.25 mV"],
    ["12\u2009345\u2009678", "12345678 V"],
    ["1'500", "1500 V"],
    ["1’500.5", "1500.5 V"],
    ["1,234,567", "1234567 V"],
    ["1.234.567,5", "1234567.5 V"],
    ["1,250.50", "1250.50 V"],
    ["1.250,50", "1250.50 V"],
    ["12,5000", "12.5000 V"],
    ["1234,567", "1234.567 V"],
    ["−3,2", "-3.2 V"],
    ["+5", "+5 V"],
    ["2.4e1", "2.4e1 V"],
    ["1,5e-3 V", "1.5e-3 V"],
    ["850 mV", "850 mV"],
  ])("%j is %j", (typed, said) => {
    expect(typedNumber(typed, "V")).toEqual({ said })
  })

  test.each(["1,500", "1,500 mV", "999,000", "-1,500"])(
    "%j can be two numbers, and is asked about",
    (typed) => {
      const digits = /\d+,\d+/.exec(typed)![0]
      const [whole, decimals] = digits.split(",")
      expect(typedNumber(typed, "V")).toEqual({
        problem: `\`${digits}\` can be read as ${whole}.${decimals} or as ${whole}${decimals}: write \`${whole}.${decimals}\` or \`${whole}${decimals}\`.`,
      })
    },
  )

  // The runner says what would be a number.
  test.each([
    "",
    "about 5",
    "1 50",
    "12 34",
    "1.2.3",
    "1,23,4",
    "1'500,000'0",
    "1 234'567",
    "5..6",
    "- 3",
    "V",
    "0x10",
  ])("%j stays as it is", (typed) => {
    expect(typedNumber(typed, "V")).toEqual({ said: typed })
  })
})

// IEC 60062, examples as the encyclopedias give them: the letter is the decimal point.
describe("the letter code of resistors and capacitors", () => {
  test.each([
    ["R47", "0.47 ohm"],
    ["0R22", "0.22 ohm"],
    ["4R7", "4.7 ohm"],
    ["470R", "470 ohm"],
    ["4K7", "4.7 kohm"],
    ["4k7", "4.7 kohm"],
    ["47K3", "47.3 kohm"],
    ["4M7", "4.7 Mohm"],
    ["4k7 ohm", "4.7 kohm"],
    ["4k7Ω", "4.7 kohm"],
    ["4,7k", "4.7 kohm"],
    ["47 k", "47 kohm"],
  ])("%s is %s", (typed, said) => {
    expect(typedNumber(typed, "ohm")).toEqual({ said })
    expect(typedNumber(typed, "kohm")).toEqual({ said })
    expect(typedNumber(typed, "MΩ")).toEqual({ said })
  })

  test.each([
    ["p33", "0.33 pF"],
    ["4n7", "4.7 nF"],
    ["2u2", "2.2 uF"],
    ["2µ2", "2.2 uF"],
    ["2m2", "2.2 mF"],
    ["100n", "100 nF"],
    ["100nF", "100 nF"],
    ["1F0", "1.0 F"],
  ])("%s is %s", (typed, said) => {
    expect(typedNumber(typed, "uF")).toEqual({ said })
  })

  test("is only read where it can't be something else", () => {
    expect(typedNumber("4m7", "ohm")).toEqual({ said: "4m7" })
    expect(typedNumber("4k7", "V")).toEqual({ said: "4k7" })
    expect(typedNumber("70F", "degF")).toEqual({ said: "70F" })
    expect(typedNumber("4.7k2", "ohm")).toEqual({ said: "4.7k2" })
    expect(typedNumber("4k7 V", "ohm")).toEqual({ said: "4k7 V" })
    expect(typedNumber("5 kohm", "ohm")).toEqual({ said: "5 kohm" })
  })
})
