import { spawnSync } from "node:child_process"
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll, expect, test } from "vitest"
import { unitSymbols } from "../../compiler/model/units.ts"
import type { Graph, GraphReading } from "../../compiler/run/graph.ts"
import { convert, open, type Session } from "../../compiler/run/index.ts"
import { workOut } from "../../compiler/run/work-out.ts"
import { writePython } from "../../compiler/ship/index.ts"
import { debian } from "../support/debian.ts"
import { seeded } from "../support/models.ts"
import { kiosk, root } from "./parts.ts"

const runner = readFileSync(join(root, "dist/parts/runner.py"), "utf8")
const folder = mkdtempSync(join(tmpdir(), "ruleout-python-"))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const put = (name: string, text: string) => {
  writeFileSync(join(folder, name), text)
  return join(folder, name)
}
const file = put("kiosk_dark.py", writePython(kiosk, runner))

function program(places: readonly string[], name: string): string {
  const found = debian(places, name)
  if (found !== undefined) return found
  throw new Error(`These tests need ${name}. Install it (on Debian: \`apt-get install ${name}\`).`)
}

const python =
  spawnSync("python3", ["--version"]).status === 0 ? "python3" : program(["/usr/bin/python3"], "python3")

function ran(...args: readonly string[]): string {
  const { stdout, stderr, status } = spawnSync(python, ["-B", ...args], { encoding: "utf8", cwd: folder })
  expect({ stderr, status }).toEqual({ stderr: "", status: 0 })
  return stdout.trim()
}

const vectorFolder = join(root, "test/conformance/vectors")
const vectors = readdirSync(vectorFolder)
  .sort()
  .map((name) => join(vectorFolder, name))

test("it passes all vectors", () => {
  put("runner.py", writePython(kiosk, runner))
  expect(ran(join(import.meta.dirname, "vectors.py"), folder, ...vectors)).toBe(
    "312 walks over 12 graphs: all agree",
  )
})

test("it starts in a language of the graph", () => {
  const german = {
    language: "de",
    tests: [{ instruction: "Prüfen", needs: [["none"]] }],
    ruleset: { name: 7 },
  }
  put("german.py", writePython({ ...kiosk, languages: [german] } as unknown as Graph, runner))
  const [own, shown, other] = JSON.parse(
    ran(
      "-c",
      `import german as g, json
graphs = [g.GRAPH, g.in_language(g.GRAPH, "de"), g.in_language(g.GRAPH, "fr")]
assert g.start(language="de").candidates == g.start().candidates
print(json.dumps(graphs))`,
    ),
  )
  expect(other).toEqual(own)
  const [first, ...others] = own.tests
  expect(shown).toEqual({
    ...own,
    ruleset: { ...own.ruleset, language: "de" },
    tests: [{ ...first, instruction: "Prüfen" }, ...others],
  })
})

/** All that a session says, as the Python side reads it. */
function stateOf(session: Session) {
  const { next, outlook, candidates, standing, suspicions } = session
  const isStep = "act" in next
  return {
    next: isStep ? { do: next.do, act: next.act, by: next.by, cautions: next.cautions } : { do: next.do },
    step: {
      minutes: isStep ? next.minutes : 0,
      cost: isStep ? next.cost : 0,
      look_cost: isStep ? next.lookCost : 0,
    },
    outlook,
    candidates: candidates.map(({ present, active }) => ({ present, active })),
    out: Object.fromEntries(
      candidates.flatMap(({ info, out }) =>
        info ? [[info.name, out ? { step: out.step, by: out.by, text: out.text } : null]] : [],
      ),
    ),
    fitted: standing.fitted.map(({ name }) => name),
    whole: standing.whole,
    steps: session.steps.length,
    suspicions: suspicions.map(({ of, steps }) => [of, steps]),
  }
}

/** A job drawn at random: mostly what comes next, now and then another step, a value as it is metered, or what can't be done. */
function drawn(graph: Graph, own: boolean, seed: number) {
  const { int } = seeded(seed)
  const draw = () => int(0, 999) / 1000
  let session = open(graph)
  const steps: [object | null, ReturnType<typeof stateOf>][] = [[null, stateOf(session)]]
  for (let n = 0; n < 14 && session.next.do !== "end" && session.next.do !== "handover"; n++) {
    const { next } = session
    const others = session.steps
    const step = draw() < 0.7 || !("act" in next) ? next : others[Math.floor(draw() * others.length)]!
    if (!("act" in step)) break
    if (draw() < 0.08 && "test" in step.act) {
      session = session.cannot(step.act)
      steps.push([{ cannot: step.act }, stateOf(session)])
      continue
    }
    const { found } = step.outcomes[Math.floor(draw() * step.outcomes.length)]!
    const minutes = draw() < 0.3 ? Math.round(draw() * 40) / 4 : undefined
    const beside = minutes === undefined ? {} : { minutes }
    const said = typeof found === "string" ? found : valuesAt(step.reads, found, draw)
    session = session.find(step.act, said as never, beside)
    steps.push([{ act: step.act, found: said, ...beside }, stateOf(session)])
  }
  const faults = [graph.faults[Math.floor(draw() * graph.faults.length)]!.name]
  const closing = { id: "", date: "2026-03-09", faults, confirmed: "proof" }
  const why = Object.fromEntries(
    graph.faults.map(({ name }) => {
      const { out, back } = session.why(name)
      return [name, [out.map(({ step, by, text }) => ({ step, by, text })), back]]
    }),
  )
  return {
    graph: own ? null : graph,
    steps,
    faults,
    why,
    record: (id: string) => JSON.stringify(session.record({ ...closing, id })),
  }
}

/** Numbers within the cell as a meter would show them, in other units too. */
function valuesAt(reads: readonly GraphReading[], found: readonly number[], draw: () => number) {
  return Object.fromEntries(
    reads.map(({ name, cells, unit, by }, i) => {
      const cell = cells[found[i]!]!
      if (by === undefined) return [name, cell.values![0]!]
      const share = Math.floor(draw() * (1 + Math.round((cell.to! - cell.from!) / by)))
      const number = Number((cell.from! + share * by).toPrecision(12))
      return [
        name,
        draw() < 0.3 && unit === "V" ? `${number * 1000} mV` : draw() < 0.5 ? number : `${number} ${unit}`,
      ]
    }),
  )
}

test("it says what our runner says, advice and all, and its records are the same byte for byte", () => {
  const others = vectors.slice(0, 4).map((name) => JSON.parse(readFileSync(name, "utf8")).graph as Graph)
  const jobs = [kiosk, kiosk, ...others].map((graph, seed) => drawn(graph, graph === kiosk, seed + 1))
  const advised = jobs.flatMap(({ steps }) =>
    steps.filter(([, { next }]) => "by" in next && next.by === "model"),
  )
  expect(advised.length).toBeGreaterThan(5)
  const all = jobs.map((job, j) => ({ ...job, record: job.record(`K-${j}`) }))
  const given = put("jobs.json", JSON.stringify(all))
  expect(ran(join(import.meta.dirname, "jobs.py"), folder, given)).toBe(`${jobs.length} jobs: all agree`)
}, 120_000)

test("numbers are written as they are in the records of every runner", () => {
  const numbers = [0, -0, 1, 24.1, 0.1 + 0.2, 1e21, 1.5e-7, 123456789012345680000, 1e-6, -2.5, 1e300, 5e-324]
  const code = `import json, kiosk_dark as k; print(json.dumps([k.number_text(x) for x in json.loads('${JSON.stringify(numbers)}')]))`
  expect(JSON.parse(ran("-c", code))).toEqual(numbers.map(String))
})

test("units convert as they do in our runner, and what doesn't convert is refused", () => {
  const symbols = unitSymbols()
  const asked = symbols.flatMap((from) =>
    "V W VA J K degF m m/s L L/h g Pa psig deg count".split(" ").map((to) => [7.3, from, to] as const),
  )
  put("units.json", JSON.stringify(asked))
  const code = `import json, kiosk_dark as k; print(json.dumps([k.convert(*each) for each in json.load(open("units.json"))]))`
  const said: (number | null)[] = JSON.parse(ran("-c", code))
  const wrong = asked.filter(([value, from, to], i) => {
    const [ours, theirs] = [convert(value, from, to), said[i]]
    return ours === undefined ? theirs !== null : theirs === null || Math.abs(theirs! / ours - 1) > 1e-11
  })
  expect(wrong).toEqual([])
  expect(said.filter((each) => each !== null).length).toBeGreaterThan(150)
})

test("a reading is worked out as ours is, and refused as ours is", () => {
  const reading: GraphReading = {
    ...{ name: "share", question: "", told: false, unit: "%", from: 0, to: 200, by: 0.1, cells: [] },
    takes: [
      { name: "a", question: "", unit: "A" },
      { name: "b", question: "", unit: "mA" },
    ],
    gives: ["*", ["/", ["take", 0], ["-", ["+", ["/", ["take", 1], 1000], 1], 1]], 100],
  } as unknown as GraphReading
  const taken = ["3", "2.5 A", "1e3 mA", "0", "-7.25", "3 V", "x"].flatMap((a) =>
    ["7", "8.125 A", "0", ""].map((b) => ({ a, b })),
  )
  put("worked.json", JSON.stringify([reading, taken]))
  const code = `import json, kiosk_dark as k
reading, taken = json.load(open("worked.json"))
for each in taken:
    try: print(k.work_out(reading, each))
    except k.RunError as error: print(error)`
  const said = taken.map((each) => {
    try {
      return workOut(reading, each)
    } catch (error) {
      return (error as Error).message
    }
  })
  expect(said.filter((each) => each.endsWith(" %")).length).toBeGreaterThan(6)
  expect(ran("-c", code).split("\n")).toEqual(said)
})

test("what is no graph of this format, or broken inside, is refused with a sentence", () => {
  const broken = [
    {},
    { ...kiosk, format: "ruleout-graph/1" },
    { ...kiosk, start: 1e6 },
    { ...kiosk, trust: 2 },
    { ...kiosk, model: { ...kiosk.model, trust: [] } },
    { ...kiosk, faults: kiosk.faults.map((fault) => ({ ...fault, place: -1 })) },
  ]
  const code = `import json, sys, kiosk_dark as k
for graph in json.load(open("broken.json")):
    try: k.open_graph(graph); print("taken")
    except k.RunError as error: print(error.code, error)`
  put("broken.json", JSON.stringify(broken))
  const said = broken.map((graph) => {
    try {
      open(graph)
      return "taken"
    } catch (error) {
      return `graph ${(error as Error).message}`
    }
  })
  expect(ran("-c", code).split("\n")).toEqual(said)
})

test("a title that would be code, a comment about the encoding, or the end of a text stays a text", () => {
  const title = '""" coding: utf-7 \\" \n import os; os.abort() # \u2028 \'\'\' $& $1 RULEOUT_GRAPH'
  const hostile = { ...kiosk, ruleset: { ...kiosk.ruleset, title } }
  put("hostile.py", writePython(hostile, runner))
  const code =
    'import json, hostile; print(json.dumps(hostile.GRAPH["ruleset"]["title"])); print(hostile.start().next.act)'
  const [said, next] = ran("-c", code).split("\n")
  expect(JSON.parse(said!)).toBe(title)
  expect(next).toMatch(/^\{'(?:test|fix|replace)': '\w+'\}$/)
})

test("its types hold by the strict rules of mypy, for Python 3.9", () => {
  const mypy = program(["/usr/bin/mypy"], "mypy")
  const args = ["--strict", "--python-version", "3.9", "--cache-dir", join(folder, "cache"), file]
  const { stdout, stderr } = spawnSync(mypy, args, { encoding: "utf8" })
  expect(`${stdout}${stderr}`.trim()).toBe("Success: no issues found in 1 source file")
})
