import { spawnSync } from "node:child_process"
import { linkSync, mkdirSync, readdirSync, symlinkSync } from "node:fs"
import { join } from "node:path"
import { beforeAll, beforeEach, describe, expect, test } from "vitest"
import { FAN } from "../fan.ts"
import { openFolder, type Ran, ruleout, said, takeTime } from "../run.ts"

takeTime()

const { folder, at, read, put, removeAllBut } = openFolder()

const head = `${FAN}reading rail "Rail" in V from 0 to 30 by 0.1
test meter_rail "Measure the rail" reads rail takes 1 min
`

let graph: Record<string, never>

beforeAll(async () => {
  put("fan.ruleout", head)
  expect((await said(["compile", "fan.ruleout", "-o", "fan.json"])).exit).toBe(0)
  graph = JSON.parse(read("fan.json"))
})

beforeEach(() => removeAllBut("fan.ruleout", "fan.json"))

/** Ends by itself, in words, and says no more than a person reads. */
function expectBrief({ exit, out, err }: Ran, most = 60_000): void {
  expect([0, 1, 2]).toContain(exit)
  expect(err).not.toMatch(/Internal error|\n\s+at |undefined/)
  expect(out.length).toBeLessThan(most)
  expect(err.length).toBeLessThan(most)
}

const x = "x".repeat(300_000)
const long: Readonly<Record<string, string>> = {
  words: x,
  digits: "1".repeat(300_000),
  "spaces between": `a${" ".repeat(300_000)}b`,
  brackets: "(".repeat(300_000),
  "what a terminal obeys": "\u001b[2J".repeat(60_000),
}

describe.each(Object.entries(long))("very long: %s", (_, text) => {
  test("in every place of a recorded case", async () => {
    const step = { test: "push_left", found: "gone" }
    const cases: object[] = [
      { id: text, steps: [] },
      { id: "K-1", date: text, steps: [] },
      { id: "K-1", complaint: text, steps: [] },
      { id: "K-1", fault: text, steps: [step] },
      { id: "K-1", faults: [text, `${text}2`, "left_loose"], steps: [step] },
      { id: "K-1", confirmed: text, fault: "left_loose", steps: [step] },
      { id: "K-1", came_back: text, steps: [step] },
      { id: "K-1", [text]: text, steps: text },
      { id: "K-1", told: { [text]: text }, steps: [{ [text]: text }] },
      { id: "K-1", steps: [{ test: text, found: text }] },
      { id: "K-1", steps: [{ test: "push_left", found: text, minutes: text }] },
      { id: "K-1", steps: [{ found: { [text]: text, lamp: text, rail: text } }] },
      { id: "K-1", steps: [{ found: { rail: `${text} V` } }, { found: { rail: `3 ${text}` } }] },
      {
        id: "K-1",
        steps: [
          { replace: text, found: "gone" },
          { fix: text, found: "gone" },
        ],
      },
    ]
    for (const each of cases) {
      put("jobs.jsonl", `${JSON.stringify(each)}\n`)
      for (const flags of [[], ["--json"], ["--csv"]]) {
        const ran = await said(["replay", "fan.json", "jobs.jsonl", ...flags])
        expectBrief({
          ...ran,
          out: flags[0] === "--json" ? ran.out.replace(/^ +/gm, "").slice(-9000) : ran.out,
        })
        expect(ran.out.includes(text.slice(0, 1000))).toBe(false)
      }
    }
    put("jobs.jsonl", `{"id":${text}\n`)
    expectBrief(await said(["replay", "fan.json", "jobs.jsonl"]))
  })

  test("in every place of a table", async () => {
    for (const row of [
      `${text},no,3,left_loose`,
      `K-1,${text},3,left_loose`,
      `K-1,no,${text},left_loose`,
      `K-1,no,3,${text}`,
    ]) {
      put("jobs.csv", `id,lamp,rail (V),fault\n${row}\n`)
      for (const command of ["import", "replay"]) {
        const ran = await said([command, "fan.json", "jobs.csv"])
        expectBrief(ran)
      }
    }
    for (const header of [
      text,
      `rail (${text})`,
      `rail in ${text}`,
      `minutes ${text}`,
      `left in ${text}`,
      `told ${text}`,
    ]) {
      put("jobs.csv", `id,${header},fault\nK-1,1,left_loose\nK-2,2,right_loose\n`)
      expectBrief(await said(["import", "fan.json", "jobs.csv"]))
    }
  })

  test("in an answer at the bench", () => {
    const lines = [
      text,
      `find ${text}`,
      `find rail ${text}`,
      `find rail 3 ${text}`,
      `why ${text}`,
      `undo ${text}`,
      `took ${text}`,
      `cannot ${text}`,
      "quit",
    ]
    expectBrief(ruleout(["bench", "fan.json"], lines.map((line) => `${line}\n`).join("")))
    expectBrief(ruleout(["bench", "fan.json"], `find push_left gone\n${text}\n`))
    expectBrief(ruleout(["bench", "fan.json"], text))
  })

  test("in a ruleset is no graph that the runner would refuse", async () => {
    const quoted = text.replace(/[^\w( ]/g, "")
    const texts = [
      head + text,
      head.replace("Look at the lamp", quoted),
      head.replaceAll("left_loose", `l${quoted.replace(/\W/g, "")}`),
      head.replace("odds 1", `odds ${text}`),
      head.replace("takes 1 min", `takes 1 ${text}`),
      `${head}part p "${quoted}" price ${text}`,
      `${head}"${quoted}`,
      `${head}use "${quoted}"`,
      `${head}when ${text} rule out left_loose`,
    ]
    for (const each of texts) {
      put("long.ruleout", each)
      const ran = await said(["compile", "long.ruleout", "-o", "long.json", "--force"])
      // Two hundred problems are said in full, each with its line, in which a control character takes eight.
      expectBrief(ran, 200_000)
      if (ran.exit === 0) expectBrief(await said(["ship", "long.json", "--to", "dot", "-o", "-"]))
      // As JSON, a thousand.
      expectBrief(await said(["check", "long.ruleout", "--json"]), 500_000)
    }
  })

  test("in a graph is refused", async () => {
    const refused = async (change: (copy: Record<string, Record<string, unknown>>) => void) => {
      const copy = structuredClone(graph)
      change(copy)
      put("long.json", JSON.stringify(copy))
      const ran = await said(["ship", "long.json", "--to", "dot", "-o", "-"])
      expectBrief(ran)
      expect(ran.exit).toBe(2)
    }
    for (const key of ["name", "title", "version", "source", "compiler"])
      await refused((copy) => {
        copy.ruleset![key] = text
      })
    for (const key of ["format", "money", text])
      await refused((copy) => Object.assign(copy, { [key]: text, money: text }))
    for (const list of ["places", "faults", "readings", "tests"])
      await refused((copy) => {
        ;(copy[list] as unknown as { name: string }[])[0]!.name = text
      })
  })
})

describe("a table that goes on and on", () => {
  test("a quote that is never closed, a row without an end, and too many columns are said", async () => {
    put("open.csv", `id,fault\nK-1,left_loose\n"K-2,left_loose\n${"K-3,left_loose\n".repeat(200_000)}`)
    put("row.csv", `id,fault\nK-1,left_loose\n${"x".repeat(3_000_000)}\n`)
    put("columns.csv", `id${",".repeat(100_000)}\nK-1\n`)
    const says = async (file: string) => {
      const ran = await said(["import", "fan.json", file, "--out", "jobs.jsonl"])
      expectBrief(ran)
      expect(ran.exit).toBe(2)
      // All or nothing.
      expect(readdirSync(folder).filter((name) => /jobs|tmp/.test(name))).toEqual([])
      return ran.err
    }
    expect(await says("open.csv")).toContain("Row 3 of `open.csv` begins a quoted cell that is never closed.")
    expect(await says("row.csv")).toContain("Row 3 of `row.csv` is too long for a recorded case.")
    expect(await says("columns.csv")).toContain("`columns.csv` has 100,001 columns")
  })
})

describe("what a ruleset uses", () => {
  const outside = 'test look_out "Look out" reads lamp takes 1 min\n'

  test("lies in its folder, wherever a link leads", async () => {
    mkdirSync(at("shop/shared"), { recursive: true })
    mkdirSync(at("away"))
    put("away/secret.ruleout", `${outside}secret words\n`)
    put("shop/shared/inside.ruleout", outside)
    symlinkSync("../../away/secret.ruleout", at("shop/shared/link.ruleout"))
    symlinkSync("../away", at("shop/door"))
    symlinkSync("shared/inside.ruleout", at("shop/good.ruleout"))
    symlinkSync("shop", at("way"))
    const outcome = async (path: string, ...command: string[]) => {
      put("shop/main.ruleout", `${head}use "${path}"\n`)
      return said([...command, "shop/main.ruleout"])
    }
    for (const path of ["shared/link.ruleout", "door/secret.ruleout"])
      for (const command of [["check"], ["check", "--fix"], ["compile"], ["bench"], ["check", "--json"]]) {
        const { exit, out, err } = await outcome(path, ...command)
        expect({ exit, out }).toEqual({ exit: 2, out: "" })
        expect(err).toContain("is a link that leads out of the folder of `shop/main.ruleout`.")
        expect(err).not.toContain("secret words")
      }
    expect(read("away/secret.ruleout")).toContain("secret words")
    for (const path of ["shared/inside.ruleout", "good.ruleout"])
      expect((await outcome(path, "check")).exit).not.toBe(2)
    // The folder itself may be reached through a link, and a file may have two names.
    expect((await said(["check", "way/main.ruleout"])).exit).not.toBe(2)
    linkSync(at("away/secret.ruleout"), at("shop/hard.ruleout"))
    expect((await outcome("hard.ruleout", "check")).err).not.toContain("is a link")
  })

  test("is no named pipe", async () => {
    if (spawnSync("mkfifo", [at("pipe.ruleout")]).status !== 0) return
    put("main.ruleout", `${head}use "pipe.ruleout"\n`)
    for (const args of [
      ["check", "main.ruleout"],
      ["check", "pipe.ruleout"],
      ["bench", "pipe.ruleout"],
      ["verify", "fan.json", "--key", "pipe.ruleout"],
      ["replay", "fan.json", "pipe.ruleout"],
      ["replay", "fan.json", "pipe.ruleout", "--sql"],
      ["fit", "--new", "pipe.ruleout"],
    ]) {
      const { exit, err } = ruleout(args)
      expect({ args, exit, says: /isn't a file|is a named pipe/.test(err) }).toEqual({
        args,
        exit: 2,
        says: true,
      })
    }
    const shell = spawnSync(
      "bash",
      [
        "-c",
        `"${process.execPath}" "$0" check <(cat fan.ruleout)`,
        join(import.meta.dirname, "../../../dist/cli/main.js"),
      ],
      {
        cwd: folder,
        encoding: "utf8",
      },
    )
    expect(shell.status).not.toBe(2)
  })

  test("is no chain of 3,000 files, and not that many side by side", async () => {
    for (let i = 0; i < 3000; i++) put(`f${i}.ruleout`, `use "f${i + 1}.ruleout"\n`)
    put("f3000.ruleout", outside)
    put("main.ruleout", `${head}use "f0.ruleout"\n`)
    put("wide.ruleout", head + Array.from({ length: 3000 }, (_, i) => `use "w${i}.ruleout"\n`).join(""))
    for (let i = 0; i < 3000; i++) put(`w${i}.ruleout`, "")
    const chain = await said(["check", "main.ruleout"])
    expectBrief(chain)
    expect(chain).toMatchObject({
      exit: 2,
      out: expect.stringContaining("200 files use each other in a row"),
    })
    const wide = await said(["check", "wide.ruleout"])
    expectBrief(wide)
    expect(wide.out).toContain("A ruleset has at most 2,000 files.")
  })
})
