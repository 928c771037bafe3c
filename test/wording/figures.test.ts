import fc from "fast-check"
import { expect, test } from "vitest"
import {
  amountText,
  countOf,
  duration,
  fixedMoney,
  fixedPercent,
  grouped,
  minutes,
  money,
  moneyChange,
  percent,
  rounded,
  signed,
} from "../../compiler/wording/figures.ts"

test("counts are grouped", () => {
  expect([grouped(12), grouped(1234567)]).toEqual(["12", "1,234,567"])
  expect([countOf(0, "case"), countOf(1, "case"), countOf(1234, "case")]).toEqual([
    "0 cases",
    "1 case",
    "1,234 cases",
  ])
  expect(countOf(2, "remedy", "remedies")).toBe("2 remedies")
})

test("numbers are rounded without trailing zeros, and differences have a sign but never that of zero", () => {
  expect([rounded(4), rounded(4.04), rounded(4.06), rounded(1.256, 2), rounded(-0.01)]).toEqual([
    "4",
    "4",
    "4.1",
    "1.26",
    "0",
  ])
  expect([signed(1.23), signed(-0.4), signed(-0.01), signed(0.0004, 3)]).toEqual([
    "+1.2",
    "−0.4",
    "0.0",
    "0.000",
  ])
})

test("a computed chance is rounded to what it tells", () => {
  const said = [0, 1e-9, 0.00042, 0.042, 0.374, 0.4234, 0.9994, 0.9996, 1].map(percent)
  expect(said).toEqual([
    "0 %",
    "< 0.001 %",
    "0.042 %",
    "4.2 %",
    "37.4 %",
    "42.3 %",
    "99.9 %",
    "> 99.9 %",
    "100 %",
  ])
})

test("only what is sure is said to be 0 % or 100 %", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0, max: 1, noNaN: true, minExcluded: true, maxExcluded: true }),
      (chance) => {
        expect(["0 %", "100 %"]).not.toContain(percent(chance))
      },
    ),
  )
})

test("a share in a column has always as many decimals", () => {
  expect([fixedPercent(0.04), fixedPercent(0.5, 0)]).toEqual(["4.0 %", "50 %"])
})

test("amounts have cents only where there are any", () => {
  expect([money(22.8, "EUR"), money(690, "EUR"), money(1250.005, "EUR"), money(-0.001, "EUR")]).toEqual([
    "22.80 EUR",
    "690 EUR",
    "1,250.01 EUR",
    "0 EUR",
  ])
  expect(amountText(0.1 + 0.2)).toBe("0.30")
  expect([fixedMoney(20, "EUR"), fixedMoney(1234.5, "EUR")]).toEqual(["20.00 EUR", "1,234.50 EUR"])
  expect([moneyChange(3.2, "EUR"), moneyChange(-0.5, "EUR"), moneyChange(-0.004, "EUR")]).toEqual([
    "3.20 EUR more",
    "0.50 EUR less",
    "no change",
  ])
})

test("work is told in minutes, long times in hours", () => {
  expect([minutes(4), minutes(4.25), minutes(180)]).toEqual(["4 min", "4.3 min", "180 min"])
  expect([duration(90), duration(180), duration(2190)]).toEqual(["90 min", "3 h", "36.5 h"])
})
