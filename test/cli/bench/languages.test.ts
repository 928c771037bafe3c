import { beforeAll, describe, expect, test } from "vitest"
import { Dialog, type Outcome } from "../../../compiler/cli/bench/dialog.ts"
import { helpText } from "../../../compiler/cli/bench/help-text.ts"
import { OwnerTalk } from "../../../compiler/cli/bench/owner-limit.ts"
import { uniqueMatch } from "../../../compiler/cli/bench/read-typed.ts"
import { answerTyped, inEnglish, inWords, phrases } from "../../../compiler/cli/bench/typed-phrases.ts"
import { style } from "../../../compiler/cli/io/terminal.ts"
import { inLanguage } from "../../../compiler/graph/in-language.ts"
import { type Graph, open } from "../../../compiler/run/index.ts"
import { writeMarkdown } from "../../../compiler/ship/markdown.ts"
import { SHEET_KINDS, sheet } from "../../../compiler/ship/sheets/sheets.ts"
import { writeSvg } from "../../../compiler/ship/svg.ts"
import { LANGUAGES, wordsOf } from "../../../compiler/wording/catalogues.ts"
import * as m from "../../../compiler/wording/compiled/terminal.ts"
import { capitalized } from "../../../compiler/wording/sentence.ts"
import type { Words } from "../../../compiler/wording/words.ts"
import { fileOf } from "../../../rulesets/read-model.ts"
import { pseudoWords, strayWords } from "../../support/pseudo-language.ts"
import { shelved } from "../../support/shelf.ts"

const file = fileOf("ticket-kiosk")
const graph = shelved("ticket-kiosk", {
  effort: 200,
  texts: [file.replace(/\.ruleout$/, ".de.ruleout")],
}).graph!

/** What the bench says while these lines are typed. */
async function bench(
  shown: Graph,
  words: Words,
  typed: readonly string[],
): Promise<{ text: string; outcome: Outcome }> {
  const said: string[] = []
  const left = [...typed]
  const talk = {
    say: (...lines: string[]) => void said.push(...lines),
    ask: async () => {
      const line = left.shift()
      said.push(`> ${line}`)
      return line
    },
  }
  const screen = {
    graph: shown,
    pictures: { bytesOf: () => new Uint8Array(), pathOf: () => undefined },
    words,
    paint: style(false),
  }
  const owner = new OwnerTalk(shown, { ownerStopsAt: 400 }, words)
  const outcome = await new Dialog(screen, open(shown), talk, owner).run()
  return { text: said.join("\n"), outcome }
}

/** A whole job in which each command is typed, rightly and wrongly, and every kind of step is done. */
const JOB = `help
candidates
why
why nobody
standing
outlook
owner stops at much
owner stops at 20
steps
took long
took 9
undo
cannot nothing
find
find nothing
find rail
find rail 24,100
find rail 99
find glow perhaps
find moved yes
find moved no
find try_panel perhaps
find put back panel gone
find rail 24.1 V
find try_panel stays left in
standing
find replace panel stays
find fix switch_open stays
find proof run fails
find take out panel
cannot
undo 99
undo
find keep panel
steps
outlook
why supply_low
why panel_dead
candidates
find try_driver stays
find reseat_ribbon stays
find glow yes
candidates
undo
undo
find replace driver gone
find look again gone
find proof run holds
nobody
driver_dead panel_dead ribbon_loose
came back
candidates
find rail 3 V
find proof run holds`.split("\n")

/** All that the ruleset says, and none of the tool's own words: the labels of quantities and `yes or no` are the tool's. */
function textsOf(of: Graph): string[] {
  const { ruleset, complaint, places, faults, readings, tests, rules, proofs, money } = of
  return [
    ...[
      ruleset.name,
      ruleset.title,
      ruleset.version,
      complaint.name,
      complaint.text,
      capitalized(complaint.text),
      money,
      "ruleout sheet owner",
    ],
    // Lists are joined by `Intl`.
    ...places.flatMap(({ name, label }) => [
      name,
      label,
      ...places.map((other) => pseudoWords.listed([label, other.label])),
    ]),
    ...faults.flatMap(({ name, label, remedy = "" }) => [name, label, remedy]),
    ...readings.flatMap(({ name, question, cells }) => [
      name,
      question,
      ...cells.flatMap((cell) => cell.values ?? []),
    ]),
    ...tests.flatMap(({ name, instruction, needs, cautions }) => [name, instruction, ...needs, ...cautions]),
    ...rules.flatMap(({ because = "" }) => because),
    ...proofs.map(({ text }) => text),
  ].filter((text) => !/^(?:yes|no)$/.test(text))
}

describe("in a language made up of accents and brackets", () => {
  const known = textsOf(graph)
  let job: Awaited<ReturnType<typeof bench>>
  beforeAll(async () => {
    job = await bench(graph, pseudoWords, JOB)
  })

  test("a whole job at the terminal says nothing past the catalogues", () => {
    const { text, outcome } = job
    // What was typed is repeated in backticks, and so are names.
    const said = text.replace(/^> .*$/gm, "").replace(/`[\w., ]*`/g, "")
    expect(strayWords(said, known)).toEqual([])
    expect(text.match(/⟦/g)?.length).toBeGreaterThan(400)
    expect(outcome.session.log.length).toBeGreaterThan(4)
  })

  test.each(SHEET_KINDS)("the sheet %s does neither", (kind) => {
    const page = sheet(kind, graph, job.outcome.session, {
      paper: "a4",
      words: pseudoWords,
      ownerStopsAt: 20,
    })
    const body = page
      .slice(page.indexOf("<body>"))
      .replaceAll("&#39;", "'")
      .replace(/<[^>]*>|&\w+;/g, " ")
    expect(strayWords(body, known)).toEqual([])
    expect(page).toContain('<html lang="en-XA">')
  })

  test("nor do the card, and the drawings", () => {
    const card = writeMarkdown(graph, { words: pseudoWords }).replaceAll("\\", "")
    expect(strayWords(card, known)).toEqual([])
    const drawing = writeSvg(graph, { words: pseudoWords })
    const texts = [...drawing.matchAll(/<(?:desc|tspan)[^>]*>([^<]*)</g)].map(([, text]) => text).join("\n")
    const shown = known.flatMap((text) => text.split(" "))
    expect(strayWords(texts, shown)).toEqual([])
  })

  test("and a text past them would be seen", () => {
    expect(strayWords(`⟦ɱöŕé⟧ and ${known[0]}`, known)).toEqual(["and"])
  })
})

describe("in German", () => {
  const german = wordsOf("de")
  const shown = inLanguage(graph, "de")

  test("a job is typed and shown in German, figures too, and English is understood", async () => {
    const typed = [
      "hilfe",
      "befund rail 24,1 V",
      "befund glow ja",
      "schritte",
      "befund reseat_ribbon bleibt",
      "find reseat_ribbon stays",
      "geht nicht",
      "ende",
    ]
    const { text, outcome } = await bench(shown, german, typed)
    expect(outcome.end).toBe("stopped")
    expect(text).toContain(
      "Beanstandung `dark`: Der Bildschirm bleibt nach dem Einschalten eine Minute lang dunkel.",
    )
    expect(text).toContain("    1  rail: 24,1 V\n    2  glow: ja\n")
    expect(text).toMatch(/Von hier bis zum Ende: (?:etwa )?\d+,\d\d EUR/)
    expect(text).toMatch(/weg oder bleibt\?/)
    // The record is the same in each language.
    const [first, second] = outcome.session.log
    expect([first, second]).toMatchObject([{ said: ["24.1 V"] }, { said: ["yes"] }])
    expect(JSON.stringify(outcome.session.log)).toContain('"found":"stays"')
  })

  test("a point isn't taken for the decimal mark where it may set off thousands", async () => {
    const { text } = await bench(shown, german, [
      "befund rail 1.500",
      "befund rail 99",
      "befund glow vielleicht",
    ])
    expect(text).toContain("`1.500` kann 1,500 oder 1500 heißen: `1,500` oder `1500` schreiben.")
    expect(text).toContain("`rail` ist eine Zahl von 0 bis 30 V, `99 V` nicht.")
    expect(text).toContain("`glow` ist `ja` oder `nein`, nicht `vielleicht`.")
  })

  test("what rules a fault out is said in German, in whatever way it is", async () => {
    const typed = [
      "befund rail 24,1 V",
      "befund try_panel bleibt",
      "befund try_driver bleibt",
      "befund glow ja",
      "warum",
    ]
    const { text } = await bench(shown, german, typed)
    expect(text).toMatch(
      /ausgeschlossen in Schritt \d, (?:die Beanstandung würde nicht bleiben|das zeigt sich)/,
    )
    expect(text).not.toMatch(/the complaint|it never shows|\(line /)
  })
})

test("capitals of an answer make no difference, as in German labels", () => {
  const labels = ["Rot", "Rot blinkend", "Grün"]
  expect(["gr", "rot", "Rot b", "ro"].map((text) => uniqueMatch(labels, text))).toEqual([
    "Grün",
    "Rot",
    "Rot blinkend",
    "Rot",
  ])
  expect(["", "b", "gelb"].map((text) => uniqueMatch(labels, text))).toEqual([
    undefined,
    undefined,
    undefined,
  ])
})

describe.each(LANGUAGES)("what is typed in %s", (language) => {
  const words = wordsOf(language)

  test.each(["command", "act", "answer"] as const)(
    "means one thing only, and is told from all others: %s",
    (kind) => {
      const all = phrases(kind, words)
      expect(new Set(all).size).toBe(all.length)
      for (const phrase of all) {
        expect(inWords(inEnglish(phrase, kind, words), words)).toBe(phrase)
        expect(inEnglish(`${phrase} x`, kind, words)).toBe(`${inEnglish(phrase, kind, words)} x`)
      }
    },
  )

  test("stands in the help", () => {
    const help = helpText(words).join("\n")
    const told = [...phrases("command", words), ...phrases("act", words)]
    expect(told.filter((phrase) => !help.includes(phrase))).toEqual([])
  })

  test("may be begun only, and English words are understood", () => {
    const answers = ["gone", "stays", "stays left in"]
    expect(answerTyped(answers, words.say(m.typeStays).slice(0, 2), words)).toBe("stays")
    expect([answerTyped(answers, "gone", words), answerTyped(answers, "x", words)]).toEqual([
      "gone",
      undefined,
    ])
  })
})
