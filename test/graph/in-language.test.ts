import { expect, test } from "vitest"
import { inLanguage, languageFor, languagesOf } from "../../compiler/graph/in-language.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { open, type Session } from "../../compiler/run/index.ts"
import { writePage } from "../../compiler/ship/page.ts"
import { pageTexts } from "../../compiler/wording/catalogues.ts"
import { fileOf } from "../../rulesets/read-model.ts"
import { seeded } from "../support/models.ts"
import { shelved } from "../support/shelf.ts"

const german = fileOf("ticket-kiosk").replace(/\.ruleout$/, ".de.ruleout")

const compiled = shelved("ticket-kiosk", { effort: 200, texts: [german] })
const plain = shelved("ticket-kiosk", { effort: 200 }).graph!
const graph = compiled.graph!
const shown = inLanguage(graph, "de")

test("the kiosk is whole in German: nothing is missing, unknown or outdated", () => {
  expect(compiled.diagnostics.filter(({ span }) => span.file === german)).toEqual([])
  expect(languagesOf(graph)).toEqual(["en", "de"])
  expect(languagesOf(plain)).toEqual(["en"])
})

test("texts change nothing but the digest of the source and themselves", () => {
  const { languages, ...rest } = graph
  expect(languages).toHaveLength(1)
  expect(JSON.stringify({ ...rest, ruleset: { ...rest.ruleset, source: plain.ruleset.source } })).toBe(
    JSON.stringify(plain),
  )
})

test("a page carries the tool's own words in the languages of its graph, and no others", () => {
  const block = (page: string) =>
    /<script type="application\/json" id="texts">(.*?)<\/script>/.exec(page)?.[1]
  expect(JSON.parse(block(writePage(graph, { script: "", style: "" })) ?? "")).toEqual({
    de: pageTexts("de"),
  })
  expect(block(writePage(plain, { script: "", style: "" }))).toBeUndefined()
})

/** Where two documents differ, and what stands there. */
function differences(a: unknown, b: unknown, path = ""): [string, unknown, unknown][] {
  if (typeof a !== "object" || a === null) return a === b ? [] : [[path, a, b]]
  const fields = [...new Set([...Object.keys(a), ...Object.keys(Object(b))])]
  return fields.flatMap((field) =>
    differences(a[field as never], Object(b)[field], `${path}/${field.replace(/^\d+$/, "*")}`),
  )
}

test("in German all that is shown is German, and nothing else differs", () => {
  const all = differences(graph, shown)
  expect([...new Set(all.map(([path]) => path))].sort()).toEqual([
    "/complaint/text",
    "/faults/*/label",
    "/faults/*/remedy",
    "/places/*/label",
    "/proofs/*/text",
    "/readings/*/question",
    "/rules/*/because",
    "/ruleset/language",
    "/ruleset/title",
    "/tests/*/cautions/*",
    "/tests/*/instruction",
    "/tests/*/needs/*",
  ])
  // One instruction is that of a told question, and only rules without a reason have no text.
  expect(all.map(([, , text]) => text)).not.toContain(undefined)
  expect(shown.faults.map(({ label }) => label)).toContain("Netzteil bricht unter Last ein")
  expect(inLanguage(shown, "fr")).toBe(shown)
})

/** All that a session decides, without what it says. */
function decided({ next, outlook, candidates, log }: Session) {
  const chances = candidates.map(({ fault, present, active }) => [fault, present, active])
  const act = "act" in next ? next.act : next.do
  const outcomes = "outcomes" in next ? next.outcomes.map(({ found, chance }) => [found, chance]) : []
  return JSON.stringify({ act, outcomes, outlook, chances, log })
}

test("every walk is the same in each language, whichever way it goes, and so is its record", () => {
  const { int } = seeded(3)
  for (let walk = 0; walk < 12; walk++) {
    let [one, other] = [open(plain), open(shown)]
    for (let step = 0; step < 12 && one.next.do !== "end" && one.next.do !== "handover"; step++) {
      expect(decided(other)).toBe(decided(one))
      // Once off the plan's path; what the runner plans on from there takes its time.
      const { act, outcomes } = (walk === 0 && step === 1 ? one.steps[0] : one.next) as Extract<
        Session["next"],
        { outcomes: unknown }
      >
      const likely = outcomes.filter(({ chance }) => chance > 0)
      const { found } = likely[int(0, likely.length - 1)]!
      one = one.find(act, found)
      other = other.find(act, found)
    }
    expect(other.record({ id: "W" })).toEqual(one.record({ id: "W" }))
  }
})

test("a graph that nobody has checked yet may have anything for languages", () => {
  const strange = [{}, { languages: 7 }, { ruleset: null, languages: [null, { language: 7 }] }]
  for (const each of strange) expect(languageFor(each as unknown as Graph, ["de"])).toBeUndefined()
})

test("one of the words goes on record as itself, whatever it is called", () => {
  const [reading] = graph.readings.filter(({ told }) => told)
  const called = {
    ...graph,
    readings: graph.readings.map((each) => ({
      ...each,
      cells: each.cells.map((cell) =>
        each === reading ? { ...cell, label: `${cell.label}, called so` } : cell,
      ),
    })),
  }
  const session = open(called).find({ reading: reading!.name }, [0])
  expect(session.record({ id: "W" }).told).toEqual({ [reading!.name]: reading!.cells[0]!.values![0] })
})

test("the language that suits best is looked up as RFC 4647 has it", () => {
  expect(languageFor(graph, ["fr", "de-AT", "en"])).toBe("de")
  expect(languageFor(graph, ["en-GB", "de"])).toBe("en")
  expect(languageFor(graph, ["fr", ""])).toBeUndefined()
})

test("a stranger's texts put texts in the places of texts only", () => {
  const hostile = {
    ...graph,
    languages: [
      {
        language: "de",
        money: "XXX",
        start: 3,
        ruleset: { name: "other", title: 7 },
        places: { 0: { label: "by its index" }, length: 3 },
        tests: [null, { name: "x", minutes: "0", needs: "none", cautions: [[], "Heiß."] }],
        readings: [{ cells: [{ label: {}, values: ["no"] }] }],
      },
    ],
  } as unknown as Graph
  const paths = differences(hostile, inLanguage(hostile, "de")).map(([path]) => path)
  expect([...new Set(paths)].sort()).toEqual(["/places/*/label", "/ruleset/language"])
})
