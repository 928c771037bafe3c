import { readFileSync } from "node:fs"
import { join } from "node:path"
import fc from "fast-check"
import { evaluate, unaryTest } from "feelin"
import { beforeAll, describe, expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import type { Graph, GraphCondition } from "../../compiler/run/graph.ts"
import { open } from "../../compiler/run/index.ts"
import { type FaultIndex, tableOf } from "../../compiler/run/indexes.ts"
import { ShipError, writeDmn } from "../../compiler/ship/index.ts"
import { examplesOf } from "../support/examples.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { browser, type DmnTable, readDmn } from "./browser.ts"
import { flagship, kiosk, root } from "./parts.ts"
import { elementsOf, validateDmn } from "./xml.ts"

/** The decision model, read by others and evaluated by a FEEL interpreter, rules out what the rules do. */
const graphs = { kiosk, flagship: flagship() }
const tables: Record<string, DmnTable> = {}
const openPage = browser()

beforeAll(async () => {
  for (const [name, graph] of Object.entries(graphs))
    tables[name] = await readDmn(await openPage(), writeDmn(graph))
}, 60_000)

test("is valid by the OMG's schema, which would see if it were not", () => {
  const text = writeDmn(graphs.flagship)
  validateDmn(text)
  expect(() => validateDmn(text.replace('hitPolicy="COLLECT"', 'hitPolicy="SOME"'))).toThrow(/hitPolicy/)
  expect(() => validateDmn(text.replace("<inputEntry", "<inputEntri"))).toThrow()
})

test("is read as DMN 1.5, with rows for every rule", () => {
  const { version, inputs, rows } = tables.flagship!
  expect(version).toBe("1.5")
  expect(rows.every((row) => row.tests.length === inputs.length)).toBe(true)
  const lines = new Set(rows.map(({ notes }) => Number(/line (\d+)/.exec(notes[0]!)?.[1])))
  for (const { line } of graphs.flagship.rules) expect(lines).toContain(line)
  for (const value of [null, 1, "x"]) expect(unaryTest("-", { "?": value }).value).toBe(true)
})

test("a rule that is trusted in part makes a fault less likely, and rules none out", () => {
  const text = KIOSK_DARK.replace(/(rule out driver_dead)/, "$1 80%")
  expect(text).not.toBe(KIOSK_DARK)
  const rows = elementsOf(writeDmn(compile("a.ruleout", () => text, { effort: 10 }).graph!)).filter(
    ({ name }) => name === "outputEntry",
  )
  expect(rows.map((row) => row.text.trim())).toContain("80")
  const rules = [
    { rules_out: ["a", "b"], trust: 100 },
    { rules_out: ["b", "c"], trust: 80 },
  ]
  const { decisions } = tables.kiosk!
  const out = evaluate(decisions.ruled_out!, { rules }).value
  expect(out).toEqual(["a", "b"])
  expect(evaluate(decisions.doubted!, { rules, ruled_out: out }).value).toEqual(["c"])
})

test("the row that the reference shows is the one that is written", () => {
  const page = (name: string) => readFileSync(join(root, "compiler/reference", name), "utf8")
  const frame = examplesOf("README.md", page("README.md")).find(({ info }) => info === "ruleout frame")!
  const examples = examplesOf("shipping.md", page("shipping.md"))
  const { text } = examples.find(({ info }) => info === "ruleout")!
  const xml = writeDmn(compile("a.ruleout", () => `${frame.text}\n${text}`).graph!)
  const cells = elementsOf(xml).filter(({ name }) => name === "inputEntry" || name === "outputEntry")
  expect(cells.map((cell) => cell.text.trim()).join(" | ")).toBe(
    examples.find(({ info }) => info === "row")!.text,
  )
})

/** What was found on some readings: a value by the reading's index. */
type Found = ReadonlyMap<number, string | number>

function diagnostics(graph: Graph): fc.Arbitrary<Found> {
  const one = graph.readings.map(({ cells, by, from, to }): fc.Arbitrary<string | number> => {
    if (by === undefined) return fc.constantFrom(...cells.flatMap(({ values = [] }) => values))
    const steps = Math.round((to! - from!) / by)
    const onGrid = (n: number) => Number((from! + n * by).toPrecision(12))
    const borders = cells.flatMap((cell) => [cell.from!, cell.to!])
    // A third of a step off the grid it is still the same value.
    const near = fc
      .tuple(
        fc.oneof(fc.nat(steps).map(onGrid), fc.constantFrom(...borders)),
        fc.constantFrom(-1 / 3, 0, 1 / 3),
      )
      .map(([value, off]) => Math.min(to!, Math.max(from!, value + off * by)))
    return near
  })
  return fc
    .tuple(...one.map((value) => fc.option(value, { freq: 2 })))
    .map((values) => new Map(values.flatMap((value, r) => (value === null ? [] : [[r, value]]))))
}

interface Decided {
  readonly out: readonly string[]
  /** Ruled out by rules that are trusted in part only. */
  readonly doubted: readonly string[]
  readonly left: readonly string[]
}

function ruledOut(table: DmnTable, graph: Graph, found: Found): Decided {
  const nameOf = new Map(graph.readings.map(({ name }, r) => [name, r]))
  const given = table.inputs.map((input) => found.get(nameOf.get(input)!) ?? null)
  const rules = table.rows
    .filter(({ tests }) =>
      tests.every((each, i) => each === "-" || unaryTest(each, { "?": given[i] }).value === true),
    )
    .map(({ out, trust }) => ({ rules_out: evaluate(out).value, trust: evaluate(trust).value }))
  const out = evaluate(table.decisions.ruled_out!, { rules }).value as string[]
  const decided = (name: string) =>
    evaluate(table.decisions[name]!, { rules, ruled_out: out }).value as string[]
  return { out, doubted: decided("doubted"), left: decided("left") }
}

/** Kleene 1952: undefined is unknown. */
function known(condition: GraphCondition, cells: readonly (number | undefined)[]): boolean | undefined {
  const [kind] = condition
  if (kind === "in") {
    const cell = cells[condition[1]]
    return cell === undefined ? undefined : condition[2].some((each) => each === cell)
  }
  const items = (condition.slice(1) as GraphCondition[]).map((item) => known(item, cells))
  if (kind === "not") return items[0] === undefined ? undefined : !items[0]
  const decides = kind === "or"
  if (items.includes(decides)) return decides
  return items.includes(undefined) ? undefined : !decides
}

function expected(graph: Graph, found: Found): { out: Set<string>; doubted: Set<string> } {
  const cells = graph.readings.map(({ name }, r) => {
    const value = found.get(r)
    if (value === undefined) return undefined
    // The runner's own reading of a value, which has tests of its own.
    const [entry] = open(graph).find({ reading: name }, value).log
    return entry && "act" in entry ? (entry.found as readonly number[])[0] : undefined
  })
  const { rules, nevers } = graph.model
  const out = new Set<string>()
  const doubted = new Set<string>()
  const rule = (faults: readonly number[], into = out) => {
    for (const fault of faults) into.add(graph.faults[fault]!.name)
  }
  const everything = graph.faults.map((_, f) => f)
  for (const { when, verb, of, chance } of rules)
    if (known(when, cells) === true)
      rule(
        verb === "rule out" ? of : everything.filter((fault) => !of.includes(fault)),
        chance === 1 ? out : doubted,
      )
  for (const when of nevers) if (known(when, cells) === true) rule(everything)
  for (const name of out) doubted.delete(name)
  return { out, doubted }
}

describe.each(["kiosk", "flagship"] as const)("%s", (name) => {
  const graph: Graph = {
    ...graphs[name],
    // No test has two readings or comes with a name that is a reading's too, so that a value is found by its reading.
    tests: graphs[name].tests.map((each, t) => ({ ...each, name: `t${t}` })),
  }

  test("rules out and doubts the same faults for any findings", () => {
    let some = 0
    fc.assert(
      fc.property(diagnostics(graph), (found) => {
        const { out, doubted, left } = ruledOut(tables[name]!, graph, found)
        const wanted = expected(graph, found)
        expect(new Set(out)).toEqual(wanted.out)
        expect(new Set(doubted)).toEqual(wanted.doubted)
        expect(left).toEqual(
          graph.faults.map((fault) => fault.name).filter((fault) => !wanted.out.has(fault)),
        )
        if (wanted.out.size + wanted.doubted.size > 0) some++
      }),
      { numRuns: name === "kiosk" ? 100 : 25 },
    )
    expect(some).toBeGreaterThan(2)
  })
})

/** One certain rule against these faults. */
function strikingOut(faults: readonly number[], when: GraphCondition): Graph["model"]["rules"] {
  return tableOf([{ when, verb: "rule out", of: faults as readonly FaultIndex[], chance: 1 }])
}

describe("conditions of any form", () => {
  const cells = kiosk.readings.map((reading) => reading.cells.map((_, cell) => cell))
  const { condition } = fc.letrec<{ condition: GraphCondition }>((tie) => ({
    condition: fc.oneof(
      { depthSize: "small", withCrossShrink: true },
      fc
        .nat(cells.length - 1)
        .chain((r) =>
          fc.subarray(cells[r]!, { minLength: 1 }).map((of) => ["in", r, of] as unknown as GraphCondition),
        ),
      fc
        .tuple(fc.constantFrom("and", "or"), tie("condition"), tie("condition"))
        .map((all) => all as GraphCondition),
      tie("condition").map((item): GraphCondition => ["not", item]),
    ),
  }))

  test("become rows that are known true just where they are", () => {
    fc.assert(
      fc.property(condition, diagnostics(kiosk), (when, found) => {
        const graph: Graph = {
          ...kiosk,
          rules: tableOf([{ line: 1 }]),
          model: {
            ...kiosk.model,
            rules: strikingOut([0, 2], when),
            nevers: [],
          },
        }
        // Read here by hand: one row in one line of entries, whose notation the tests above have held against a reader.
        const xml = writeDmn(graph)
        const plain = (text: string) =>
          text.replace(
            /&(lt|gt|amp|quot|#39);/g,
            (_, name) => ({ lt: "<", gt: ">", amp: "&", quot: '"', "#39": "'" })[name as "lt"],
          )
        const table: DmnTable = {
          version: "1.5",
          inputs: [...xml.matchAll(/<inputExpression[^>]*>\s*<text>(.*?)<\/text>/g)].map((m) => plain(m[1]!)),
          rows: [...xml.matchAll(/<rule [\s\S]*?<\/rule>/g)].map(([row]) => ({
            tests: [...row.matchAll(/<inputEntry[^>]*><text>(.*?)<\/text>/g)].map((m) => plain(m[1]!)),
            out: plain(/<outputEntry id="o[^>]*><text>(.*?)<\/text>/.exec(row)![1]!),
            trust: plain(/<outputEntry id="p[^>]*><text>(.*?)<\/text>/.exec(row)![1]!),
            notes: [],
          })),
          decisions: tables.kiosk!.decisions,
        }
        expect(new Set(ruledOut(table, graph, found).out)).toEqual(expected(graph, found).out)
      }),
      { numRuns: 150 },
    )
  })

  test("with too many cases are refused, in words and soon", () => {
    const readings = Array.from({ length: 40 }, (_, r) => ({ ...kiosk.readings[0]!, name: `r${r}` }))
    const pairs = Array.from({ length: 20 }, (_, i) => ["or", ["in", 2 * i, [0]], ["in", 2 * i + 1, [0]]])
    const when = ["and", ...pairs] as unknown as GraphCondition
    const graph: Graph = {
      ...kiosk,
      readings: tableOf(readings),
      rules: tableOf([{ line: 7 }]),
      model: {
        ...kiosk.model,
        rules: strikingOut([0], when),
        nevers: [],
      },
    }
    expect(() => writeDmn(graph)).toThrow(ShipError)
    expect(() => writeDmn(graph)).toThrow("The rule at line 7 has more than 1000 cases")
  })
})
