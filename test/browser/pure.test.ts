import { deflateRawSync } from "node:zlib"
import fc from "fast-check"
import { describe, expect, test } from "vitest"
import type { Fit } from "../../compiler/cases/fit/fit.ts"
import type { NumberChange } from "../../compiler/cases/fit/patch.ts"
import { unsupported } from "../../compiler/cases/fit/supported.ts"
import { compile } from "../../compiler/compile.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { open } from "../../compiler/run/index.ts"
import type { NodeIndex } from "../../compiler/run/indexes.ts"
import { english } from "../../compiler/wording/words.ts"
import { shifted, shiftOf } from "../../playground/actions/text-shift.ts"
import { isFresh } from "../../playground/bench/jobs.ts"
import { newJob, readStored, resume, stepsOf } from "../../playground/bench/saved-job.ts"
import { periodsOf } from "../../playground/cases/trend.ts"
import { ownJobs } from "../../playground/element/own-jobs.ts"
import { isStep, shortEdgeText } from "../../playground/graph/labels.ts"
import { figuresOf, graphNodes } from "../../playground/graph/node-figures.ts"
import { nodesAt, sourcesOf, spansOf } from "../../playground/graph/sources.ts"
import { tilesOf } from "../../playground/graph/tiles.ts"
import { firstFold, foldsOf, SHARES, visibleOf } from "../../playground/graph/visible.ts"
import { asProject, fromFragment, toFragment } from "../../playground/share/share.ts"
import { lineOf } from "../../playground/state/line-of.ts"
import type { CaseRow } from "../../playground/workers/replay.worker.ts"
import { SKELETON } from "../../playground/write/skeleton.ts"
import { indexed } from "../support/plain.ts"
import { LAMP, LAMP_RULED } from "./support/lamp.ts"

/* What the playground computes by itself, without a browser. */

const compiled = (text: string) => compile("a.ruleout", () => text)
const { graph, plan, model } = compiled(LAMP_RULED)

test("cases are grouped by the shortest time that leaves few bars, those without a date left out", () => {
  const rows = (dates: readonly string[]) => dates.map((date) => ({ date }) as CaseRow)
  const names = (dates: readonly string[]) =>
    periodsOf(rows(dates)).map(({ name, rows }) => [name, rows.length])
  expect(names(["2026-03-04", "2026-03-01", "", "2026-03-02"])).toEqual([
    ["2026-02-23", 1],
    ["2026-03-02", 2],
  ])
  expect(names(["2026-03-04", "2026-03-05"])).toEqual([])
  const weekly = Array.from({ length: 60 }, (_, i) =>
    new Date(Date.UTC(2024, 11, 2) + i * 7 * 86_400_000).toISOString().slice(0, 10),
  )
  expect(names(weekly)[0]).toEqual(["2024-12", 5])
  const monthly = Array.from(
    { length: 72 },
    (_, i) => `${2020 + Math.floor(i / 12)}-${String((i % 12) + 1).padStart(2, "0")}-05`,
  )
  expect(names(monthly)).toEqual(["2020", "2021", "2022", "2023", "2024", "2025"].map((year) => [year, 12]))
})

test("what cross-validation doesn't speak for isn't offered: all where it can't tell, else what few cases say", () => {
  const change = (name: string, count: number) =>
    ({ kind: "odds", name, seen: { count, of: 80 } }) as unknown as NumberChange
  const fitOf = (verdict: string | undefined) =>
    ({
      changes: [change("a", 40), change("b", 2)],
      ...(verdict ? { validation: { verdict } } : {}),
    }) as unknown as Fit
  const names = (verdict: string | undefined) => unsupported(fitOf(verdict)).map(({ name }) => name)
  expect(names("helps")).toEqual(["b"])
  for (const verdict of ["harms", "cannot be told", undefined]) expect(names(verdict)).toEqual(["a", "b"])
})

test("a picture is printed on pages that cover all of it, and never on too many", () => {
  for (const [width, height, most] of [
    [400, 300, 1],
    [2200, 2900, 4],
    [60_000, 30_000, 24],
  ] as const) {
    const { pages, columns, rows } = tilesOf({ width, height })
    expect(pages.length).toBe(columns * rows)
    expect(pages.length).toBeLessThanOrEqual(most)
    const area = pages.reduce((sum, { left, right, top, bottom }) => sum + (right - left) * (bottom - top), 0)
    expect(area).toBeCloseTo((width + 24) * (height + 24), 3)
    expect(Math.max(...pages.map(({ right }) => right))).toBeGreaterThanOrEqual(width)
    expect(Math.max(...pages.map(({ bottom }) => bottom))).toBeGreaterThanOrEqual(height)
  }
})

test("nothing is to be said of the ruleset that one starts from, and its best plan uses all of it", () => {
  const { diagnostics, graph } = compiled(SKELETON)
  expect(diagnostics).toEqual([])
  expect(graph!.proof.exact).toBe(true)
})

describe("figures of the picture", () => {
  const figures = figuresOf(graph!)

  test("a node of the graph costs from there on what the nodes of the plan cost that it was written from", () => {
    const written = graphNodes(graph!, plan!)
    expect(new Set(written)).toEqual(new Set(graph!.nodes.keys()))
    plan!.nodes.forEach((planned, i) => {
      const node = graph!.nodes[written[i]!]!
      expect(node.do).toBe(planned.do)
      expect(node.do === "handover" ? graph!.handover : node.costToGo).toBeCloseTo(planned.costToGo, 6)
    })
    expect(written[plan!.start]).toBe(graph!.start)
  })

  test("of several readings at once, an outcome says those that tell it from the likeliest", () => {
    const hums = LAMP.replace("test meter_head", 'reading hum "Does it hum?" yes or no\ntest meter_head')
      .replace("reads output takes 30 min", "reads output, hum takes 0.1 min")
      .replace("shows output below 9 V 95%", "shows output below 9 V 95%\n  shows hum is yes")
    const made = compiled(hums).graph!
    const step = made.nodes.filter(isStep).find(({ edges }) => edges.some(({ on }) => on.length === 2))!
    const texts = step.edges.map((edge) => shortEdgeText(made, step, edge))
    expect(new Set(texts).size).toBe(texts.length)
    // Nothing says that it doesn't hum: both are as likely, but for the battery's fault.
    expect(texts).toContain("output 11 to 13 V, hum yes")
    expect(texts).toContain("… hum no")
    expect(texts).toContain("… output below 9 V")
    expect(texts).toContain("output below 9 V, hum no")
  })

  test("all jobs end somewhere, once", () => {
    const ends = graph!.nodes.reduce((sum, node, at) => {
      const ending = isStep(node)
        ? node.edges.reduce((part, { to, chance }) => (to === undefined ? part + chance : part), 0)
        : 1
      return sum + figures.reach[at]! * ending
    }, 0)
    expect(ends).toBeCloseTo(1, 9)
  })

  test("folding hides no job: what is drawn and what is folded make up the whole", () => {
    for (const least of SHARES) {
      const { nodes, edges, folds } = visibleOf(graph!, figures, least, new Set())
      for (const at of nodes) {
        const node = graph!.nodes[at]!
        if (!isStep(node)) continue
        const sum = (list: readonly { readonly chance: number }[]) =>
          list.reduce((so, { chance }) => so + chance, 0)
        const drawn = sum(edges.filter(({ from }) => from === at).map(({ edge }) => node.edges[edge]!))
        const ended = sum(node.edges.filter(({ to }) => to === undefined))
        const folded = (folds.get(at)?.chance ?? 0) / figures.reach[at]!
        expect(drawn + ended + folded).toBeCloseTo(1, 9)
      }
    }
    expect(visibleOf(graph!, figures, 0, new Set()).folds.size).toBe(0)
    const folds = foldsOf(graph!, figures)
    expect(folds.map(({ nodes }) => nodes)).toEqual(
      SHARES.map((share) => visibleOf(graph!, figures, share, new Set()).nodes.length),
    )
    expect(folds.every(({ fits }) => fits)).toBe(true)
    expect(SHARES).toContain(firstFold(folds))
  })

  test("a graph of more nodes than can be laid out offers only the folds that leave few enough", () => {
    // One step, and as many ends as a step has ways out.
    const ways = 3000
    const wide: Graph = {
      ...graph!,
      start: 0 as NodeIndex,
      nodes: indexed<Graph["nodes"]>([
        {
          do: "test" as const,
          test: 0,
          cost: 1,
          costToGo: 1,
          edges: Array.from({ length: ways }, (_, i) => ({
            on: [i],
            chance: i === 0 ? 0.5 : 0.5 / (ways - 1),
            to: i + 1,
            rulesOut: [],
            because: [],
          })),
        },
        ...Array.from({ length: ways }, () => ({ do: "handover" as const, candidates: [] })),
      ]),
    }
    const folds = foldsOf(wide, figuresOf(wide))
    expect(folds.map(({ share, nodes, fits }) => [share, nodes, fits])).toEqual(
      SHARES.map((share) => (share === 0 ? [0, ways + 1, false] : [share, 2, true])),
    )
    expect(firstFold(folds)).toBe(0.001)
  })

  test("a node's source lines light that node again", () => {
    const sources = sourcesOf(model!)
    for (const [at, node] of graph!.nodes.entries()) {
      if (!isStep(node)) continue
      for (const span of spansOf(graph!, sources, at))
        expect([...nodesAt(graph!, sources, span.file, span.start)]).toContain(at)
    }
  })
})

describe("a job that is kept", () => {
  const lamp = compiled(LAMP).graph!

  test("is done again to the same findings, with numbers, units, parts left in, and what can't be done", () => {
    const session = open(lamp)
      .cannot("meter_head")
      .find({ reading: "output" }, "11900 mV", { minutes: 4 })
      .find({ test: "try_battery" }, "stays", { leftIn: true })
      .find({ takeOut: "battery" }, "done")
      .find({ test: "try_head" }, "gone")
      .find({ putBack: "head" }, "stays")
      .find({ replace: "head" }, "gone", { minutes: 7 })
      .find({ close: true }, "fails")
      .find({ close: true }, "holds")
      .cameBack()
      .find({ look: true }, "stays")
    const job = { ...newJob(lamp, "J-1"), steps: stepsOf(lamp, session) }
    const again = resume({ graph: lamp, words: english }, readStored(JSON.parse(JSON.stringify(job))).job!)
    expect(again.lost).toEqual([])
    expect(again.session.log).toEqual(session.log)
    expect(again.session.hypotheses).toEqual(session.hypotheses)
  })

  test("leaves out, and names, what a newer ruleset no longer has", () => {
    const session = open(lamp).find({ reading: "output" }, "11.9 V").find({ test: "try_head" }, "gone")
    const job = { ...newJob(lamp, "J-1"), steps: stepsOf(lamp, session) }
    const newer = compiled(LAMP.replaceAll("try_head", "swap_head")).graph!
    const again = resume({ graph: newer, words: english }, job)
    expect(again.lost).toEqual(["try_head"])
    expect(again.session.log).toHaveLength(1)
  })

  test("as version 0.1 of the page stored it is gone on with", () => {
    const steps = [
      { cannot: "meter_head" },
      { name: "output", found: { output: "11.9 V" } },
      { name: "try_head", found: "gone", minutes: 9 },
      { name: "head", found: "stays" },
    ]
    const { job } = readStored({ source: "sha256:0", id: "J-1", steps, proofs: [0] })
    const { session, lost } = resume({ graph: lamp, words: english }, job!)
    expect(lost).toEqual([])
    expect(session.log).toEqual(
      open(lamp)
        .cannot("meter_head")
        .find({ reading: "output" }, "11.9 V")
        .find({ test: "try_head" }, "gone", { minutes: 9 })
        .find({ putBack: "head" }, "stays").log,
    )
  })

  test.each([
    ["{oops"],
    [7],
    [{ source: "sha256:0", id: "J-1", steps: 3, passed: [] }],
    [{ ...newJob(lamp, "J-1"), steps: [{ done: "try_head" }] }],
    [{ ...newJob(lamp, "J-1"), steps: [{ cannot: null }] }],
    [{ ...newJob(lamp, "J-1"), steps: [{ act: "try_head", found: "gone" }] }],
  ])("of another shape is said to be unreadable: %j", (value) => {
    expect(readStored(value)).toEqual({ unreadable: true })
  })

  test("is none where nothing was stored", () => {
    expect([readStored(undefined), readStored(null)]).toEqual([{}, {}])
  })

  test.each([{ notes: "Lens cracked." }, { ownerStopsAt: 120 }, { waitsUntil: 1 }])(
    "gives way to another ruleset's only while nothing stands beside it: %j",
    (beside) => {
      const jobs = ownJobs({ say: () => {}, words: () => english, record: () => {} })
      jobs.begin(lamp)
      const job = jobs.current.value!
      expect(isFresh(job)).toBe(true)
      job.keep(beside)
      expect(isFresh(job)).toBe(false)
    },
  )
})

describe("a shared link", () => {
  test("gives back any project", async () => {
    const path = fc.stringMatching(/^[a-z]{1,8}$/).map((name) => `${name}.ruleout`)
    await fc.assert(
      fc.asyncProperty(
        fc.dictionary(path, fc.string({ unit: "grapheme" }), { minKeys: 1, noNullPrototype: true }),
        async (files) => {
          const project = { root: Object.keys(files)[0]!, files }
          expect(await fromFragment(await toFragment(project))).toEqual(project)
        },
      ),
      { numRuns: 40 },
    )
  })

  test("that is damaged, foreign or a bomb gives nothing and does not hang", async () => {
    const bomb = deflateRawSync(Buffer.alloc(60_000_000, 32)).toString("base64url")
    for (const fragment of ["", "r1.", "r1.%%%", "r1.AAAA", "bench", `r1.${bomb}`])
      expect(await fromFragment(fragment)).toBeUndefined()
  })

  test("reaches nothing but ruleset files of its own", () => {
    const parsed: unknown = JSON.parse(
      '{"root":"a.ruleout","files":{"__proto__":{"x":1},"constructor":"x","a.ruleout":"part"}}',
    )
    expect(asProject(parsed)).toEqual({ root: "a.ruleout", files: { "a.ruleout": "part" } })
    expect(asProject({ root: "toString", files: {} })).toBeUndefined()
    expect(asProject(null)).toBeUndefined()
  })
})

test("findings move with the text around them, and go where it was changed", () => {
  const before = "one two three"
  const at = (word: string, text: string) => ({
    file: "a",
    start: text.indexOf(word),
    end: text.indexOf(word) + word.length,
  })
  const found = (word: string) => ({
    code: "x",
    severity: "note" as const,
    message: word,
    span: at(word, before),
    labels: [],
    edits: [],
  })
  const after = "one twenty-two three"
  const moved = shifted([found("one"), found("two"), found("three")], shiftOf("a", before, after))
  expect(moved.map(({ message, span }) => [message, after.slice(span.start, span.end)])).toEqual([
    ["one", "one"],
    ["three", "three"],
  ])
})

test("lines are counted as an editor counts them", () => {
  const text = "a\nbb\n\nc"
  const naive = (offset: number) => text.slice(0, offset).split("\n").length
  for (let offset = 0; offset <= text.length; offset++) expect(lineOf(text, offset)).toBe(naive(offset))
})
