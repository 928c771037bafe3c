import { deflateRawSync } from "node:zlib"
import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { open } from "../../compiler/run/index.ts"
import { shifted, shiftOf } from "../../playground/actions/text-shift.ts"
import { newJob, resume, stepsOf } from "../../playground/bench/job.ts"
import { figuresOf } from "../../playground/graph/node-figures.ts"
import { nodesAt, spansOf } from "../../playground/graph/sources.ts"
import { firstFold, foldsOf, shares, visibleOf } from "../../playground/graph/visible.ts"
import { lineOf } from "../../playground/line-of.ts"
import { asProject, fromFragment, toFragment } from "../../playground/share.ts"
import { skeleton } from "../../playground/write/skeleton.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { LAMP } from "./support/lamp.ts"

/* What the playground reckons by itself, without a browser. */

const compiled = (text: string) => compile("a.ruleout", () => text)
const { graph } = compiled(KIOSK_DARK)

test("nothing is to be said of the ruleset that one starts from, and its best plan uses all of it", () => {
  const { diagnostics, graph } = compiled(skeleton)
  expect(diagnostics).toEqual([])
  expect(graph!.proof.exact).toBe(true)
})

describe("figures of the picture", () => {
  const figures = figuresOf(graph!)

  test("the first step and what follows it cost what the plan expects", () => {
    // With every branch planned; what an `advise` leaves open is not in the figures.
    const whole = compile("a.ruleout", () => KIOSK_DARK, { mass: 0 }).graph!
    const { toGo } = figuresOf(whole)
    const start = whole.nodes[whole.start]!
    if (start.do !== "test") throw new Error("the kiosk begins with a test")
    const cost = start.edges.reduce((sum, edge) => sum + edge.chance * toGo[edge.to]!, start.cost)
    expect(cost).toBeCloseTo(whole.expected.total, 8)
  })

  test("all jobs end somewhere, once", () => {
    const ends = graph!.nodes.reduce(
      (sum, node, at) => sum + (node.do === "test" ? 0 : figures.reach[at]!),
      0,
    )
    expect(ends).toBeCloseTo(1, 9)
  })

  test("folding hides no job: what is drawn and what is folded make up the whole", () => {
    for (const least of shares) {
      const { nodes, folds } = visibleOf(graph!, figures, least, new Set())
      const drawn = nodes.filter((at) => graph!.nodes[at]!.do !== "test")
      const folded = [...folds.values()].reduce((sum, fold) => sum + fold.chance, 0)
      // A node drawn for one way in may be folded on another, so its whole share counts at most once too often.
      expect(drawn.reduce((sum, at) => sum + figures.reach[at]!, folded)).toBeGreaterThanOrEqual(1 - 1e-9)
    }
    expect(visibleOf(graph!, figures, 0, new Set()).folds.size).toBe(0)
    const folds = foldsOf(graph!, figures)
    expect(folds.map(({ nodes }) => nodes)).toEqual(
      shares.map((share) => visibleOf(graph!, figures, share, new Set()).nodes.length),
    )
    expect(folds.every(({ fits }) => fits)).toBe(true)
    expect(shares).toContain(firstFold(folds))
  })

  test("a graph of more nodes than can be laid out offers only the folds that leave few enough", () => {
    // One step, and as many ends as a step has ways out.
    const ways = 3000
    const wide = {
      ...graph!,
      start: 0,
      nodes: [
        {
          do: "test" as const,
          test: 0,
          cost: 1,
          edges: Array.from({ length: ways }, (_, i) => ({
            cells: [i],
            chance: i === 0 ? 0.5 : 0.5 / (ways - 1),
            to: i + 1,
            rulesOut: [],
            because: [],
          })),
        },
        ...Array.from({ length: ways }, () => ({ do: "handover" as const, candidates: [] })),
      ],
    }
    const folds = foldsOf(wide, figuresOf(wide))
    expect(folds.map(({ share, nodes, fits }) => [share, nodes, fits])).toEqual(
      shares.map((share) => (share === 0 ? [0, ways + 1, false] : [share, 2, true])),
    )
    expect(firstFold(folds)).toBe(0.001)
  })

  test("a node's source lines light that node again", () => {
    const { model } = compiled(KIOSK_DARK)
    const spans = (list: readonly { span: { file: string; start: number; end: number } }[]) =>
      list.map(({ span }) => span)
    const sources = {
      tests: spans(model!.tests),
      rules: spans(model!.rules),
      faults: spans(model!.faults),
      readings: spans(model!.readings),
      places: spans(model!.places),
      proofs: spans(model!.proofs),
    }
    for (const [at, node] of graph!.nodes.entries()) {
      if (node.do !== "test") continue
      for (const span of spansOf(graph!, sources, at))
        expect([...nodesAt(graph!, sources, span.file, span.start)]).toContain(at)
    }
  })
})

describe("a job that is kept", () => {
  const lamp = compiled(LAMP).graph!

  test("is said again to the same findings, numbers and units included", () => {
    const session = open(lamp)
      .cannot("try_head")
      .find("output", "11900 mV", 4)
      .find("try_head", "gone")
      .find("head", "stays")
    const job = { ...newJob(lamp, "J-1"), steps: stepsOf(lamp, session) }
    const again = resume(lamp, JSON.parse(JSON.stringify(job)))
    expect(again.lost).toEqual([])
    expect(again.session.log).toEqual(session.log)
    expect(again.session.chances).toEqual(session.chances)
  })

  test("leaves out, and names, what a newer ruleset no longer has", () => {
    const session = open(lamp).find("output", "11.9 V").find("try_head", "gone")
    const job = { ...newJob(lamp, "J-1"), steps: stepsOf(lamp, session) }
    const newer = compiled(LAMP.replaceAll("try_head", "swap_head")).graph!
    const again = resume(newer, job)
    expect(again.lost).toEqual(["try_head"])
    expect(again.session.log).toHaveLength(1)
  })
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
