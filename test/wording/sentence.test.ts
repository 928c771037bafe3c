import { expect, test } from "vitest"
import { placeLabel, placesText } from "../../compiler/wording/places.ts"
import {
  backticked,
  capitalized,
  counted,
  listed,
  listedNames,
  sentence,
  withArticle,
} from "../../compiler/wording/sentence.ts"
import { english } from "../../compiler/wording/words.ts"

test("things are listed as a sentence lists them", () => {
  expect([listed([]), listed(["a"]), listed(["a", "b"]), listed(["a", "b", "c"], "or")]).toEqual([
    "",
    "a",
    "a and b",
    "a, b or c",
  ])
})

test("a text of an author's gets a full stop, unless it has one", () => {
  expect(["it hums", "It hums.", "Does it hum?", "Wait …"].map(sentence)).toEqual([
    "it hums.",
    "It hums.",
    "Does it hum?",
    "Wait …",
  ])
})

test("names are quoted, and a long list is cut with the number left out", () => {
  expect(listedNames(["a", "b"])).toBe("`a` and `b`")
  expect(listedNames(["a", "b", "c", "d"], "and", 2)).toBe("`a`, `b` and 2 more")
  expect(listedNames(["a", "b"], "or")).toBe("`a` or `b`")
  expect(listedNames([])).toBe("")
  expect([withArticle("voltage"), withArticle("energy")]).toEqual(["a voltage", "an energy"])
  expect([backticked("a"), capitalized("the rule")]).toEqual(["`a`", "The rule"])
})

test("small numbers are spelled out in running text", () => {
  expect([0, 1, 3, 12].map((n) => counted(n, "rule"))).toEqual([
    "no rules",
    "one rule",
    "three rules",
    "12 rules",
  ])
})

test("places are called by their labels", () => {
  const places = [
    { name: "fan", label: "cooling fan" },
    { name: "lid", label: "lid" },
  ]
  expect([placeLabel(places, "fan"), placeLabel(places, "gone")]).toEqual(["cooling fan", "gone"])
  expect([placesText(places, english), placesText([], english)]).toEqual(["cooling fan and lid", "nothing"])
})
