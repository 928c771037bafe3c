import { spawnSync } from "node:child_process"
import { readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { Ajv2020 } from "ajv/dist/2020.js"
import { describe, expect, test } from "vitest"
import { graphSchema } from "../../compiler/graph/schema.ts"
import { type Answer, open, RunError, type Session } from "../../compiler/run/index.ts"
import { vectorsFrom } from "./draw.ts"
import type { Deed, Expected, Vectors } from "./vectors.ts"

const folder = join(import.meta.dirname, "vectors")
const files = readdirSync(folder).sort()
const read = (name: string) => JSON.parse(readFileSync(join(folder, name), "utf8")) as Vectors
const all = files.map((name) => ({ name, ...read(name) }))

function deedDone(session: Session, deed: Deed): Session {
  if ("cannot" in deed) return session.cannot(deed.cannot)
  if ("undo" in deed) return session.undo(stepOf(session, deed.undo))
  if ("cameBack" in deed) return session.cameBack()
  const beside = deed.leftIn === undefined ? {} : { leftIn: deed.leftIn }
  return session.find(deed.act, deed.found as Answer, beside)
}

/** Steps are counted without those that cannot be done. */
function stepOf({ log }: Session, done: number): number {
  const steps = log.flatMap((entry, i) => ("cannot" in entry ? [] : [i]))
  return steps[done] ?? log.length
}

function agree(got: Session, want: Expected, where: string): void {
  const key = (faults: readonly string[], cured: readonly string[]) => `${faults} cured ${cured}`
  const names = got.candidates.flatMap(({ fault, info }) =>
    info && fault !== undefined ? [[fault, info.name] as const] : [],
  )
  const nameOf: ReadonlyMap<number, string> = new Map(names)
  const named = (list: readonly number[]) => list.map((fault) => nameOf.get(fault)!)
  const wanted = new Map(want.hypotheses.map(({ faults, cured, chance }) => [key(faults, cured), chance]))
  const chances = new Map(
    got.hypotheses.map(({ faults, cured, chance }) => [key(named(faults), named(cured)), chance]),
  )
  for (const each of new Set([...wanted.keys(), ...chances.keys()]))
    expect(Math.abs((chances.get(each) ?? 0) - (wanted.get(each) ?? 0)), `${where}: ${each}`).toBeLessThan(
      1e-9,
    )
  for (const { info, active } of got.candidates)
    if (info)
      expect(Math.abs(active - (want.active[info.name] ?? 0)), `${where}: ${info.name}`).toBeLessThan(1e-9)
  if (want.next === undefined) return
  const { next } = got
  const step = next.do === "end" ? { end: true } : next.do === "handover" ? { handOver: true } : next.act
  expect(step, where).toEqual(want.next)
}

test("there are 300 walks over 12 graphs, with all that can befall one", () => {
  expect(files.length).toBeGreaterThanOrEqual(12)
  const walks = all.flatMap((each) => each.walks)
  expect(walks.length).toBeGreaterThanOrEqual(300)
  const about = walks.flatMap((walk) => walk.about.split(", "))
  const kinds = "along the graph,out of order,measured,taken back,cannot be done,refused,came back,"
  const done =
    "putBack gone,putBack stays,keep done,replace gone,replace stays,fix gone,fix stays,look gone,close holds"
  for (const kind of (kinds + done).split(","))
    expect(about.filter((each) => each === kind).length, kind).toBeGreaterThan(3)
})

test("each graph keeps to the schema", () => {
  const valid = new Ajv2020({ strict: true, strictTuples: false }).compile(graphSchema)
  for (const { name, graph } of all)
    expect(valid(graph), `${name}: ${JSON.stringify(valid.errors)}`).toBe(true)
})

test("they are what the script writes", () => {
  const [first] = all
  const { name: _, ...vectors } = first!
  // The plan may get better; what is expected of a walk along it must not change by itself.
  expect(JSON.parse(JSON.stringify(vectorsFrom(vectors.seed)))).toEqual(vectors)
})

describe("the runner", () => {
  test.each(all)("agrees with $name", ({ name, graph, walks }) => {
    for (const [w, walk] of walks.entries()) {
      let session = open(graph)
      agree(session, walk.start, `${name} walk ${w}`)
      for (const [s, { do: deed, expect: then }] of walk.steps.entries()) {
        const where = `${name} walk ${w} step ${s}`
        if (then === "refused") expect(() => deedDone(session, deed), where).toThrow(RunError)
        else {
          session = deedDone(session, deed)
          agree(session, then, where)
        }
      }
    }
  })
})

const python = spawnSync("python3", ["--version"]).status === 0

test.skipIf(!python)("that runner too refuses a graph of another format", () => {
  const asks = `from runner import RunError, Session
try: Session({"format": "ruleout-graph/1"})
except RunError as problem: print(problem)`
  const ran = spawnSync("python3", ["-B", "-c", asks], { cwd: import.meta.dirname, encoding: "utf8" })
  expect(ran.stderr).toBe("")
  expect(ran.stdout.trim()).toBe("This runner reads `ruleout-graph/2`: compile the ruleset again.")
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
  expect(lines).toBeLessThan(500)
})
