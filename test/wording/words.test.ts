import { describe, expect, test } from "vitest"
import { bestLanguage } from "../../compiler/wording/best-language.ts"
import { LANGUAGES, pageTexts, wordsOf } from "../../compiler/wording/catalogues.ts"
import { dayText, fixedAmount, fixedPercent, moneyChange, signed } from "../../compiler/wording/figures.ts"
import type { Message } from "../../compiler/wording/message.ts"
import { english, Words } from "../../compiler/wording/words.ts"
import { pseudoWords, rightToLeftWords, strayWords } from "../support/pseudo-language.ts"

const german = wordsOf("de")
const steps: Message<{ readonly n: number; readonly what: string }> = [
  "steps",
  [
    ["n", "plural", { "=0": "no step", one: "one step", other: [["n", "number"], " steps"] }],
    " of ",
    ["what"],
  ],
]
const held: Message<{ readonly how: "gone" | "other" }> = [
  "held",
  [["how", "select", { gone: "it is gone", other: "it stays" }]],
]
const plain: Message = ["plain", "as it stands"]

describe("messages", () => {
  test("take the form that fits a number or a word", () => {
    const said = [0, 1, 1234].map((n) => english.say(steps, { n, what: "a job" }))
    expect(said).toEqual(["no step of a job", "one step of a job", "1,234 steps of a job"])
    expect([english.say(held, { how: "gone" }), english.say(held, { how: "other" })]).toEqual([
      "it is gone",
      "it stays",
    ])
  })

  test("are said by the plural rules of their language, and in English where it lacks them", () => {
    const polish = new Words("pl", {
      steps: [["n", "plural", { one: "krok", few: "kroki", other: "kroków" }]],
    })
    expect([1, 2, 5, 22].map((n) => polish.say(steps, { n, what: "" }))).toEqual([
      "krok",
      "kroki",
      "kroków",
      "kroki",
    ])
    expect(polish.say(plain)).toBe("as it stands")
  })

  test("keep what is given apart from text that runs the other way", () => {
    const arabic = new Words("ar", { steps: ["خطوة ", ["what"]] })
    expect([arabic.direction, german.direction, rightToLeftWords.direction]).toEqual(["rtl", "ltr", "rtl"])
    expect(arabic.say(steps, { n: 1, what: "24 V" })).toBe("خطوة \u206824 V\u2069")
  })
})

describe("figures in German", () => {
  test("have a comma for the decimals and points between thousands", () => {
    expect([german.money(12.5, "EUR"), german.money(1234567, "EUR"), fixedAmount(20, german)]).toEqual([
      "12,50 EUR",
      "1.234.567 EUR",
      "20,00",
    ])
    expect([german.percent(0.4234), german.percent(1e-9), fixedPercent(0.04, 1, german)]).toEqual([
      "42,3 %",
      "< 0,001 %",
      "4,0 %",
    ])
    expect([
      german.minutes(4.5),
      german.duration(2190),
      signed(-0.42, 1, german),
      german.rounded(1.256, 2),
    ]).toEqual(["4,5 min", "36,5 h", "−0,4", "1,26"])
    expect([moneyChange(3.2, "EUR", german), moneyChange(0.001, "EUR", german)]).toEqual([
      "3,20 EUR mehr",
      "keine Änderung",
    ])
  })

  test("that are written already keep their decimals and their unit", () => {
    expect(["1.5 V", "-0.50 V", "22.80", "1e-7 F", "12.5.3", "yes"].map(german.digits)).toEqual([
      "1,5 V",
      "-0,50 V",
      "22,80",
      "1e-7 F",
      "12.5.3",
      "yes",
    ])
    expect([german.withUnit(1.5, "V"), german.withUnit("24.10", "V"), german.withUnit(3, "count")]).toEqual([
      "1,5 V",
      "24,10 V",
      "3",
    ])
  })

  test("as do days and lists", () => {
    expect([dayText("2026-11-28"), dayText("2026-11-28", german)]).toEqual(["28 Nov 2026", "28.11.2026"])
    expect([german.listed(["a", "b", "c"]), german.listed(["a", "b"], "or")]).toEqual([
      "a, b und c",
      "a oder b",
    ])
  })
})

describe("the language", () => {
  test("that suits best is looked up by shorter and shorter tags, and is English where none does", () => {
    expect(LANGUAGES).toEqual(["en", "de"])
    expect(
      [wordsOf("de-AT"), wordsOf("fr", "DE"), wordsOf("fr"), wordsOf()].map(({ language }) => language),
    ).toEqual(["de", "de", "en", "en"])
    expect(bestLanguage(["en", "pt-BR"], ["pt"])).toBeUndefined()
  })

  test("is carried by a page only where there is one beside English", () => {
    expect(pageTexts("de")?.done).toBe("erledigt")
    expect([pageTexts("en"), pageTexts("fr")]).toEqual([undefined, undefined])
  })
})

test("a language made up shows what is of no catalogue, and keeps what is given", () => {
  const text = moneyChange(3.2, "EUR", pseudoWords)
  expect(text).toBe("⟦⟦3.20 EUR····⟧ ɱöŕé····⟧")
  expect(strayWords(`${text}, or so`, ["EUR"])).toEqual(["or", "so"])
})
