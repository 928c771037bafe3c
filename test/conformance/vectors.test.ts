import { spawnSync } from "node:child_process"
import { readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { Ajv2020 } from "ajv/dist/2020.js"
import { describe, expect, test } from "vitest"
import { graphSchema } from "../../compiler/graph/schema.ts"
import { type Answer, open, RunError, type Session } from "../../compiler/run/index.ts"
import { type Act, type Expected, expected, type Known, type Vectors } from "./vectors.ts"

const folder = join(import.meta.dirname, "vectors")
const files = readdirSync(folder).filter((name) => name.endsWith(".json"))
const read = (name: string) => JSON.parse(readFileSync(join(folder, name), "utf8")) as Vectors
const all = files.map((name) => ({ name, ...read(name) }))

function act(session: Session, what: Act): Session {
  if ("find" in what) return session.find(what.find, what.found as Answer)
  return "cannot" in what ? session.cannot(what.cannot) : session.undo(what.undo)
}

/** Chances agree to 1e-9, and a fault that one of the two does not name has none. */
function agree(got: Session, want: Expected, where: string): void {
  for (const flag of ["uncured", "cured"] as const) {
    const wanted = new Map(Object.entries(want[flag]))
    for (const { fault, name } of got.candidates)
      expect(
        Math.abs(got.chances[flag][fault]! - (wanted.get(name) ?? 0)),
        `${where}: ${flag} ${name}`,
      ).toBeLessThan(1e-9)
  }
  const { next } = got
  expect(
    next.by === "model" && next.do !== "handover"
      ? "model"
      : next.do === "test" && next.putBack
        ? "putBack"
        : next.do,
    where,
  ).toBe(want.next.do === "model" && next.do === "handover" ? "handover" : want.next.do)
  if (want.next.do === "test" && next.do === "test") expect(next.name, where).toBe(want.next.test)
  if (want.next.do === "putBack" && next.do === "test") expect(next.putBack, where).toBe(want.next.part)
  if (want.next.do === "verdict" && next.do === "verdict") {
    expect(next.remedy, where).toEqual(want.next.remedy)
    expect(Math.abs(next.chance - want.next.chance), where).toBeLessThan(1e-9)
  }
}

test("there are at least 300 walks over 12 graphs, with all that can befall one", () => {
  expect(files.length).toBeGreaterThanOrEqual(12)
  expect(all.reduce((sum, { walks }) => sum + walks.length, 0)).toBeGreaterThanOrEqual(300)
  const about = all.flatMap(({ walks }) => walks.flatMap((walk) => walk.about.split(", ")))
  for (const kind of [
    "taken back",
    "cannot be done",
    "refused",
    "learnt without a test",
    "out of order",
    "measured",
    "put back",
  ])
    expect(about.filter((each) => each === kind).length, kind).toBeGreaterThan(15)
  const nexts = all.flatMap(({ walks }) =>
    walks.flatMap(({ steps }) => steps.map(({ expect: then }) => (then === "refused" ? "" : then.next.do))),
  )
  for (const kind of ["test", "putBack", "verdict", "handover", "model"])
    expect(nexts.filter((each) => each === kind).length, kind).toBeGreaterThan(10)
})

test("each graph keeps to the schema", () => {
  const valid = new Ajv2020({ strict: true, strictTuples: false }).compile(graphSchema)
  for (const { name, graph } of all)
    expect(valid(graph), `${name}: ${JSON.stringify(valid.errors)}`).toBe(true)
})

describe("the runner", () => {
  test.each(all)("agrees with $name", ({ name, graph, walks }) => {
    for (const [w, walk] of walks.entries()) {
      let session = open(graph)
      agree(session, walk.start, `${name} walk ${w}`)
      for (const [s, { do: what, expect: then }] of walk.steps.entries()) {
        const where = `${name} walk ${w} step ${s}`
        if (then === "refused") expect(() => act(session, what), where).toThrow(RunError)
        else {
          session = act(session, what)
          agree(session, then, where)
        }
      }
    }
  })
})

describe("the vectors", () => {
  // From the runner's log only the findings are taken, as cells; all the rest is the reference's.
  test.each(all)("of $name are those of the reference", ({ graph, walks }) => {
    for (const walk of walks) {
      let session = open(graph)
      expect(walk.start).toEqual(expected(graph, []))
      for (const { do: what, expect: then } of walk.steps) {
        if (then === "refused") continue
        session = act(session, what)
        const log = JSON.parse(JSON.stringify(session.log)) as Known[]
        expect(then).toEqual(JSON.parse(JSON.stringify(expected(graph, log))))
      }
    }
  })
})

const python = spawnSync("python3", ["--version"]).status === 0

test.skipIf(!python)("that runner too refuses a graph of another format", () => {
  const asks = `from runner import RunError, Session
try: Session({"format": "ruleout-graph/2"})
except RunError as problem: print(problem)`
  const ran = spawnSync("python3", ["-B", "-c", asks], { cwd: import.meta.dirname, encoding: "utf8" })
  expect(ran.stderr).toBe("")
  expect(ran.stdout.trim()).toBe("This runner reads `ruleout-graph/1`: compile the ruleset again.")
})

test.skipIf(!python)("a runner in another language agrees with them all", () => {
  const run = spawnSync(
    "python3",
    [join(import.meta.dirname, "runner.py"), ...files.map((name) => join(folder, name))],
    { encoding: "utf8" },
  )
  expect(run.stderr).toBe("")
  const walks = all.reduce((sum, { walks }) => sum + walks.length, 0)
  expect(run.stdout.trim()).toBe(`${walks} walks over ${files.length} graphs: all agree`)
  const lines = readFileSync(join(import.meta.dirname, "runner.py"), "utf8").split("\n").length
  expect(lines).toBeLessThan(300)
})
