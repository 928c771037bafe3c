import { existsSync } from "node:fs"
import { DuckDBInstance } from "@duckdb/node-api"
import { beforeAll, describe, expect, test } from "vitest"
import { graphWithoutPlan } from "../../../compiler/cases/fit/graph-without-plan.ts"
import { csvText } from "../../../compiler/cli/io/csv.ts"
import { replayBySql } from "../../../compiler/cli/io/duckdb.ts"
import { graphText } from "../../../compiler/compile.ts"
import type { Model } from "../../../compiler/model/model.ts"
import { type ActionStep, type Answer, type Graph, open } from "../../../compiler/run/index.ts"
import { jobs, TILL, till } from "../../cases/till.ts"
import { type Bench, drawMachine, drawn, plain } from "../../support/hidden-machine.ts"
import { seeded } from "../../support/models.ts"
import { sarifValidator } from "../../support/sarif.ts"
import { openFolder, ruleout, said } from "../run.ts"

const { at, read, put } = openFolder()

const lines = jobs(till().model, 400, 3)

beforeAll(async () => {
  put("till.ruleout", TILL)
  put("till.cases.jsonl", `${lines.join("\n")}\n`)
  await said(["compile", "till.ruleout"])
})

const graph = "till_shut.graph.json"
const cases = "till.cases.jsonl"

interface Job {
  readonly id: string
  readonly told: Readonly<Record<string, string>>
  readonly steps: readonly { readonly found: string | object; readonly [kind: string]: unknown }[]
  readonly faults: readonly string[]
}

/** What is found, as a technician writes it. */
function asWritten({ reads }: ActionStep, cells: readonly number[]): Answer {
  return Object.fromEntries(
    reads.map(({ name, unit, cells: all }, i) => {
      const { values, from } = all[cells[i]!]!
      return [name, values?.[0] ?? `${from! + 0.5} ${unit}`]
    }),
  )
}

/** Jobs done as the graph has it on machines that are drawn; one in four is not recorded to its end. */
function followed(model: Model, of: Graph, count: number): string[] {
  const draw = seeded(29)
  return Array.from({ length: count }, (_, n) => {
    let session = open(of)
    let machine = drawMachine(model, draw, plain)
    let bench: Bench = { fitted: new Map(), findings: new Map(), touched: new Set() }
    const last = draw.int(0, 3) === 0 ? draw.int(1, 4) : 60
    for (let step = 0; step < last && session.next.do !== "end" && session.next.do !== "handover"; step++) {
      const { next } = session
      const came = drawn(model, bench, machine, next, next.leaveIn, draw, plain)!
      machine = came.machine
      bench = came.bench
      session = session.answer(typeof came.on === "string" ? came.on : asWritten(next, came.on))
    }
    // One in six turned out to be something else, whatever was bought for it.
    const other = draw.int(0, 5) === 0 ? [draw.int(0, of.faults.length - 1)] : machine.faults
    const names = other.map((fault) => of.faults[fault]!.name)
    return JSON.stringify(session.record({ id: `W-${n + 1}`, faults: names }))
  })
}

const rowsOf = (csv: string): Record<string, string>[] => {
  const [header = [], ...rows] = csv
    .trimEnd()
    .split("\n")
    .map((row) => row.split(","))
  return rows.map((row) => Object.fromEntries(header.map((name, i) => [name, row[i] ?? ""])))
}

const LOOKS = ["again", "align", "try_lock", "put back lock", "keep lock", "replace lock", "replace board"]
const FIXES = ["fix plug_loose", "fix rail_bent"]
const COLUMNS = [
  "id",
  "moved",
  "click",
  "force",
  ...LOOKS,
  ...FIXES,
  "look again",
  "close",
  "fault",
  "second fault",
]

const columnOf = (step: Job["steps"][number]): string => {
  if (step.look) return "look again"
  if (step.close) return "close"
  if (step.putBack) return `put back ${step.putBack}`
  const [kind, name] = Object.entries(step)[0]!
  return kind === "test" ? String(name) : `${kind} ${name}`
}

/** Told and read first, then each thing once, in the order of the columns. */
function isForTable(steps: Job["steps"]): boolean {
  const places = steps.map((step) =>
    typeof step.found === "object" ? 0 : 1 + COLUMNS.indexOf(columnOf(step)),
  )
  const done = places.filter((place) => place > 0)
  return places.every((place, i) => place >= (places[i - 1] ?? 0)) && new Set(done).size === done.length
}

describe("replay", () => {
  test("says the same on one thread and on two, from a file and from a pipe", () => {
    const one = ruleout(["replay", graph, cases])
    expect(one).toMatchObject({ exit: 0, err: "" })
    expect(one.out).toContain("400 cases walked through till_shut")
    expect(ruleout(["replay", graph, cases, "--workers", "2"])).toEqual(one)
    expect(ruleout(["replay", graph, "-"], read(cases))).toEqual(one)
  })

  test("prints how each case ended, in the order of the file", async () => {
    const { out } = await said(["replay", graph, cases, "--csv"])
    const rows = out.trimEnd().split("\n")
    expect(rows[0]).toMatch(/^id,line,date,faults,came_back,ending,/)
    expect(rows.slice(1).map((row) => row.split(",")[0])).toEqual(lines.map((line) => JSON.parse(line).id))
    expect(ruleout(["replay", graph, cases, "--csv", "--workers", "2"]).out).toBe(out)
  })

  test("writes a page, and counts beside the lines of the ruleset", async () => {
    const { exit, out, err } = await said(["replay", "till.ruleout", cases, "--lines", "--html", "page.html"])
    expect([exit, err]).toEqual([0, "Written to page.html\n"])
    expect(read("page.html")).toContain("<h1>till_shut")
    const rule = out.split("\n").find((line) => line.includes("when force below 5 N"))!
    expect(Number(/^ *(\d+) \|/.exec(rule)![1])).toBeGreaterThan(0)
    expect(await said(["replay", graph, cases, "--lines"])).toMatchObject({ exit: 2 })
  })

  test("says a bad line with its place, however far down", async () => {
    put("bad.jsonl", `${lines.join("\n")}\n{"id":"X","steps":[{"test":"haer","found":"yes"}]}\n{oops\n`)
    const { exit, err } = await said(["replay", graph, "bad.jsonl"])
    expect(exit).toBe(2)
    expect(err).toContain("bad.jsonl:401:")
    expect(err).toContain("Did you mean `hear`?")
    expect(err).toContain("bad.jsonl:402:2")
  })

  test("by SQL says what it says itself, where nothing has to be inferred", async () => {
    const walked = followed(till().model, JSON.parse(read(graph)), 300)
    put("walked.jsonl", `${walked.join("\n")}\n`)
    const own = rowsOf((await said(["replay", graph, "walked.jsonl", "--csv"])).out)
    const bySql = await said(["replay", graph, "walked.jsonl", "--sql"])
    expect(bySql).toMatchObject({ exit: 0, err: "" })
    const sql = new Map(rowsOf(bySql.out).map((row) => [row.case_id, row]))
    expect(sql.size).toBe(300)
    const named = { fixed: "closed", "comes back": "closed", "handed over": "handover", open: "open" }
    const price = { "": 0, lock: 40, board: 90, "lock + board": 130, "board + lock": 130 }
    const seen: Record<string, number> = {}
    for (const row of own.filter(({ inferred }) => inferred === "0")) {
      const same = sql.get(row.id)!
      if (same.ending === "advise") continue
      expect(same).toMatchObject({
        ending: named[row.ending as keyof typeof named],
        steps: row.steps,
        asked_for: row.asked_for,
        bought: String(price[row.bought as keyof typeof price]),
      })
      expect(Number(same.in_vain) > 0).toBe(Number(row.in_vain) > 0)
      seen[same.ending!] = (seen[same.ending!] ?? 0) + 1
      if (Number(same.repairs) > 0) seen.repaired = (seen.repaired ?? 0) + 1
      if (Number(same.in_vain) > 0) seen.inVain = (seen.inVain ?? 0) + 1
    }
    for (const what of ["closed", "open", "repaired", "inVain"]) expect(seen[what], what).toBeGreaterThan(5)
    // In batches, as many cases are walked, it is the same.
    const rows: (string | number)[][] = []
    const batches = replayBySql(JSON.parse(read(graph)), at("walked.jsonl"), () => {}, 70)
    for await (const some of batches) rows.push(...some)
    expect(csvText(rows)).toBe(bySql.out)
  })

  test("by SQL reads a table and a Parquet file, with numbers that are numbers, like lines of JSON", async () => {
    // In a table the readings come first, and nothing is done twice.
    const simple = followed(till().model, JSON.parse(read(graph)), 300)
      .map((line) => JSON.parse(line) as Job)
      .filter(({ steps }) => isForTable(steps))
    expect(
      simple.filter(({ steps }) => steps.some((step) => "fix" in step || "replace" in step)).length,
    ).toBeGreaterThan(20)
    put("simple.jsonl", simple.map((job) => `${JSON.stringify(job)}\n`).join(""))
    const rows = simple.map(({ id, told, steps, faults: [fault = "", second = ""] }) => {
      const row: Record<string, string> = { id, ...told, fault, "second fault": second }
      for (const step of steps) {
        if (typeof step.found === "object") Object.assign(row, step.found)
        else row[columnOf(step)] = step.found === "done" ? "yes" : step.found
      }
      return { ...row, force: row.force?.replace(" N", "") ?? "" }
    })
    const table = rows.map((row: Record<string, string>) => COLUMNS.map((name) => row[name] ?? "").join(","))
    const header = COLUMNS.join(",").replace("force", "force (N)")
    put("chain.csv", `${header}\n${table.join("\n")}\n`)
    const duckdb = await (await DuckDBInstance.create(":memory:")).connect()
    await duckdb.run(
      `COPY (FROM read_csv('${at("chain.csv")}')) TO '${at("chain.parquet")}' (FORMAT parquet)`,
    )
    const [types] = await duckdb
      .runAndReadAll(`SELECT typeof("force (N)") FROM '${at("chain.parquet")}' LIMIT 1`)
      .then((all) => all.getRows())
    duckdb.closeSync()
    expect(types).toEqual(["DOUBLE"])
    const { out } = await said(["replay", graph, "simple.jsonl", "--sql"])
    expect(rowsOf(out).filter(({ ending }) => ending === "closed").length).toBeGreaterThan(20)
    expect(await said(["replay", graph, "chain.csv", "--sql"])).toEqual({ exit: 0, out, err: "" })
    expect(await said(["replay", graph, "chain.parquet", "--sql"])).toEqual({ exit: 0, out, err: "" })
  })

  test.each(["nearly.csv", "."])(
    "by SQL a file that cannot be read is said as everywhere: %s",
    async (name) => {
      put("nearby.csv", "id\n")
      const own = await said(["replay", graph, name])
      expect(own.exit).toBe(2)
      expect(own.err).toMatch(/There is no file `nearly\.csv`.*nearby\.csv|is a folder/s)
      expect(await said(["replay", graph, name, "--sql"])).toEqual(own)
    },
  )
})

describe("tables", () => {
  const table = [
    "id;moved;click;force (mN);again;try_lock;fault",
    "A;yes;no;2000;stays;gone;lock_worn",
    "B;no;yes;12000,5;stays;;rail_bent",
    "C;no;perhaps;12000;;;rail_bent",
  ].join("\n")

  test("are shown before they are taken, and bad rows are written aside", async () => {
    put("jobs.csv", table)
    const shown = await said(["import", "till.ruleout", "jobs.csv"])
    expect(shown.exit).toBe(1)
    expect(shown.out).toContain("reading `force`, numbers in mN")
    expect(shown.err).toContain("Row 4, column C (`click`): `click` is `yes` or `no`; `perhaps` isn't.")
    const { err } = await said([
      "import",
      "till.ruleout",
      "jobs.csv",
      "-o",
      "jobs.jsonl",
      "--rejected",
      "aside.csv",
    ])
    expect(err).toContain("2 rows good, 1 rejected.")
    expect(read("jobs.jsonl").trimEnd().split("\n")).toHaveLength(2)
    expect(read("aside.csv")).toMatch(
      /^id,moved,.*,problem\nC,no,perhaps,12000,,,rail_bent,"?Row 4, column C/,
    )
  })

  test("are replayed as the lines that they become", async () => {
    const fromTable = await said(["replay", graph, "jobs.csv", "--json"])
    const fromLines = await said(["replay", graph, "jobs.jsonl", "--json"])
    // Lines are counted where they stand: those of a table begin below its header.
    const report = ({ out }: { out: string }) =>
      JSON.parse(out.replaceAll(/"line": \d+/g, '"line": 0')).report
    expect(report(fromLines).cases).toBe(2)
    expect(report(fromTable)).toEqual(report(fromLines))
  })

  test("draft a ruleset that compiles", async () => {
    const rows = Array.from(
      { length: 40 },
      (_, i) => `${i},${i % 2 ? "yes" : "no"},${10 + (i % 7)},${i % 2 ? "belt" : "motor"}`,
    )
    put("old.csv", `id,noise,speed (rpm),fault\n${rows.join("\n")}\n`)
    expect(await said(["fit", "--new", "old.csv", "-o", "old.ruleout"])).toMatchObject({ exit: 0, err: "" })
    expect((await said(["check", "old.ruleout"])).err).toBe("")
    expect(await said(["fit", "--new", "jobs.jsonl"])).toMatchObject({ exit: 2 })
  })
})

describe("fit", () => {
  const guessed = TILL.replace("odds 6", "odds 60").replace("N 85%", "N 40%")

  test("prints a patch and leaves the ruleset alone until asked", async () => {
    put("guessed.ruleout", guessed)
    const { exit, out, err } = await said(["fit", "guessed.ruleout", cases])
    expect(exit).toBe(0)
    expect(out).toMatch(/^--- a\/guessed.ruleout\n\+\+\+ b\/guessed.ruleout\n@@ /)
    expect(out).toContain("-  shows force at least 10 N 40%\n")
    expect(err).toContain("On cases not fitted to (10 parts)")
    expect(read("guessed.ruleout")).toBe(guessed)
    await said(["fit", "guessed.ruleout", cases, "-o", "better.ruleout"])
    await said(["fit", "guessed.ruleout", cases, "--write"])
    expect(read("guessed.ruleout")).toBe(read("better.ruleout"))
    expect(read("guessed.ruleout")).not.toBe(guessed)
  })

  test("writes nothing that harms unless forced, and doesn't exit with 0", async () => {
    put("sure.ruleout", TILL)
    put("few.cases.jsonl", `${jobs(till().model, 60, 3).join("\n")}\n`)
    const fit = ["fit", "sure.ruleout", "few.cases.jsonl", "--weight", "0.001"]
    for (const how of [["--write"], ["-o", "harmed.ruleout"]]) {
      const { exit, err } = await said([...fit, ...how])
      expect(exit).toBe(1)
      expect(err).toContain("Nothing was written, because the numbers harm.")
    }
    expect(read("sure.ruleout")).toBe(TILL)
    expect(existsSync(at("harmed.ruleout"))).toBe(false)
    expect(await said([...fit, "--write", "--force"])).toMatchObject({ exit: 0 })
    expect(read("sure.ruleout")).not.toBe(TILL)
  })
})

describe("compare", () => {
  test("exits 1 where the new one is worse beyond chance, 2 where nothing is compared, else 0", async () => {
    // Who takes the board for guilty, and does not listen, buys boards in vain.
    const worse = TILL.replace("odds 3\n  shows click is no\n", "odds 60\n")
    put("worse.ruleout", worse)
    const worseGraph = "worse.graph.json"
    await said(["compile", "worse.ruleout", "-o", worseGraph])
    const down = await said(["compare", graph, "worse.ruleout", cases])
    expect(down.out).toContain("Worse beyond chance: with the new one more cases buy a part in vain")
    expect(down.exit).toBe(1)
    expect(await said(["compare", graph, worseGraph, cases, "--format", "github"])).toMatchObject({
      exit: 1,
      out: expect.stringContaining(
        "::error file=worse.graph.json,title=worse-than-before::Worse beyond chance: more cases buy a part in vain.\n",
      ),
    })
    const { out } = await said(["compare", graph, worseGraph, cases, "--format", "junit"])
    expect(out).toContain('<testsuite name="worse.graph.json" tests="5" ')
    expect(out).toContain(
      '<failure type="worse-than-before" message="Worse beyond chance: more cases buy a part in vain."',
    )
    const valid = sarifValidator()
    const log = JSON.parse((await said(["compare", graph, worseGraph, cases, "--format", "sarif"])).out)
    expect(valid(log), JSON.stringify(valid.errors)).toBe(true)
    const grounds = log.runs[0].results.map(({ ruleId }: { ruleId: string }) => ruleId)
    expect([...new Set(grounds)]).toEqual(["worse-than-before"])
    const up = await said(["compare", worseGraph, graph, cases, "--json"])
    expect(up.exit).toBe(0)
    expect(JSON.parse(up.out).comparison.judgement.is).toBe("better")
    expect(await said(["compare", graph, graph, cases])).toMatchObject({ exit: 0 })
    // A release must not depend on a comparison of nothing.
    put("empty.cases.jsonl", '{"id":"K-1","steps":[]}\n')
    const none = await said(["compare", graph, graph, "empty.cases.jsonl"])
    expect(none).toMatchObject({ exit: 2, out: expect.stringContaining("no case has a confirmed fault") })
    // Nor of one with a graph that plans nothing, by records that have nothing.
    put("nothing.graph.json", graphText(graphWithoutPlan(till().model)))
    put("bare.cases.jsonl", '{"id":"K-1","steps":[],"faults":["rail_bent"]}\n')
    const unfollowed = await said(["compare", graph, "nothing.graph.json", "bare.cases.jsonl"])
    expect(unfollowed).toMatchObject({ exit: 2, out: expect.stringContaining("one of them follows no case") })
  })
})
