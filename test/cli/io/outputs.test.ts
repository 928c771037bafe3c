import {
  chmodSync,
  chownSync,
  existsSync,
  linkSync,
  mkdirSync,
  readdirSync,
  rmSync,
  statSync,
  symlinkSync,
} from "node:fs"
import { beforeAll, beforeEach, describe, expect, test } from "vitest"
import { onFaultyDisk } from "../../support/faulty-disk.ts"
import { openFolder, ruleout, said, takeTime } from "../run.ts"

takeTime()

const { folder, at, read, put, removeAllBut } = openFolder()

const shop = `ruleset lamp "Lamp: dark"
  money EUR
  bench 60 per hour
  handover costs 200
setup plug "mains plug"
part bulb "bulb" price 5
complaint dark "the lamp stays dark"
fault plug_loose "plug loose" in plug odds 2
  shows glow is no 90%
fault bulb_dead "bulb dead" in bulb odds 1
  shows glow is no 60%
reading glow "Does the standby lamp glow?" yes or no
  normally is yes 99%
test look_glow "Look at the standby lamp" reads glow takes 1 min
test push_plug "Push the plug home" redoes plug takes 1 min
`
const table = `id,glow,push_plug,fault\n${Array.from({ length: 40 }, (_, i) =>
  i % 4 === 3
    ? `J-${i},maybe,,`
    : `J-${i},${i % 3 ? "no" : "yes"},${i % 2 ? "gone" : "stays"},${i % 2 ? "plug_loose" : "bulb_dead"}`,
).join("\n")}\n`
const ugly = shop.replace("takes 1 min\n", "takes   1 min\n").replace("odds 2", "odds   2")
const mine = "what somebody wrote\n"

/** The files of each test, and what is in them. */
const files: Record<string, string> = {
  "lamp.ruleout": shop,
  "ugly.ruleout": ugly,
  "jobs.csv": table,
  "mine.txt": mine,
  "mine.jsonl": mine,
  "mine.csv": mine,
  "mine.html": mine,
  "mine.json": mine,
  "other.ruleout": "# other\n",
  "shop.key": "secret\n",
}

beforeAll(async () => {
  put("lamp.ruleout", shop)
  put("jobs.csv", table)
  await said(["compile", "lamp.ruleout", "-o", "made.json"])
  await said(["import", "lamp.ruleout", "jobs.csv", "--out", "made.jsonl"])
  for (const name of ["made.json", "made.jsonl"]) files[name] = read(name)
  rmSync(at("made.json"))
})

beforeEach(() => {
  removeAllBut()
  for (const [name, text] of Object.entries(files)) put(name, text)
})

/** Nothing but `changed` is other than it was; no draft is left. */
function expectUntouched(...changed: readonly string[]): void {
  const kept = Object.entries(files).filter(([name]) => !changed.includes(name))
  expect(Object.fromEntries(kept.map(([name]) => [name, read(name)]))).toEqual(Object.fromEntries(kept))
  expect(readdirSync(folder).filter((name) => name.endsWith(".tmp"))).toEqual([])
}

/** Each writes a new file where its last argument says. */
const writers: readonly (readonly string[])[] = [
  ["import", "lamp.ruleout", "jobs.csv", "--out"],
  ["import", "lamp.ruleout", "jobs.csv", "--rejected"],
  ["replay", "made.json", "jobs.csv", "--html"],
  ["replay", "made.json", "jobs.csv", "--rejected"],
  ["fit", "lamp.ruleout", "made.jsonl", "-o"],
  ["fit", "--new", "jobs.csv", "-o"],
  ["compile", "lamp.ruleout", "-o"],
  ["ship", "made.json", "-o"],
  ["ship", "made.json", "--to", "page", "-o"],
  ["sheet", "job", "made.json", "-o"],
]

const force = (args: readonly string[]) => [...args.slice(0, 1), "--force", ...args.slice(1)]

describe.each(writers.map((args) => [args.join(" "), args] as const))("%s", (_, args) => {
  test("overwrites nothing that exists, unless forced", async () => {
    const unforced = await said([...args, "mine.txt"])
    expect({ exit: unforced.exit, says: /`mine\.txt` exists already/.test(unforced.err) }).toEqual({
      exit: 2,
      says: true,
    })
    expectUntouched()
    expect((await said([...force(args), "mine.txt"])).exit).not.toBe(2)
    expect(read("mine.txt")).not.toBe(mine)
    expectUntouched("mine.txt")
  })

  test("never overwrites what it reads, by its own name or through a link", async () => {
    const inputs = args.filter((arg) => Object.hasOwn(files, arg))
    expect(inputs.length).toBeGreaterThan(0)
    for (const input of inputs) {
      symlinkSync(input, at("soft.txt"))
      linkSync(at(input), at("hard.txt"))
      mkdirSync(at("below"))
      symlinkSync("..", at("below/up"))
      for (const name of [input, `./${input}`, "soft.txt", "hard.txt", `below/up/${input}`]) {
        const { exit, err } = await said([...force(args), name])
        expect({ name, exit, says: /what this command reads|by its name is/.test(err) }).toEqual({
          name,
          exit: 2,
          says: true,
        })
      }
      for (const name of ["soft.txt", "hard.txt", "below"]) rmSync(at(name), { recursive: true })
      expectUntouched()
    }
  })

  test("overwrites nothing of another kind, even if forced", async () => {
    for (const name of ["other.ruleout", "mine.jsonl", "mine.csv", "shop.key"]) {
      const { exit, err } = await said([...force(args), name])
      if (exit !== 2) continue
      expect(err).toMatch(/by its name is (a ruleset|recorded cases|a table|a key)/)
      expect(read(name)).toBe(files[name])
    }
    const written = Object.keys(files).filter((name) => read(name) !== files[name])
    const fits = args[0] === "fit" ? "other.ruleout" : args.includes("--rejected") ? "mine.csv" : "mine.jsonl"
    const isExport = ["ship", "sheet", "compile"].includes(args[0]!) || args.includes("--html")
    expect(written).toEqual(isExport ? [] : [fits])
  })

  test("leaves a file without write permission alone, even if forced", async () => {
    chmodSync(at("mine.txt"), 0o444)
    const { exit, err } = await said([...force(args), "mine.txt"])
    expect({ exit, says: /`mine\.txt` (is write-protected|can't be written)/.test(err) }).toEqual({
      exit: 2,
      says: true,
    })
    expectUntouched()
  })

  test("keeps mode and owner of what it overwrites", async () => {
    chmodSync(at("mine.txt"), 0o666)
    const owner = process.getuid?.() === 0 ? { uid: 4321, gid: 4322 } : undefined
    if (owner) chownSync(at("mine.txt"), owner.uid, owner.gid)
    await said([...force(args), "mine.txt"])
    const { mode, uid, gid } = statSync(at("mine.txt"))
    expect(read("mine.txt")).not.toBe(mine)
    expect(mode & 0o777).toBe(0o666)
    if (owner) expect({ uid, gid }).toEqual(owner)
  })

  test("writes through a link to a file, and not over a link that leads nowhere", async () => {
    symlinkSync("mine.txt", at("soft.txt"))
    await said([...force(args), "soft.txt"])
    expect(read("mine.txt")).not.toBe(mine)
    symlinkSync("nothing.txt", at("broken.txt"))
    const { exit, err } = await said([...force(args), "broken.txt"])
    expect({ exit, err }).toEqual({ exit: 2, err: expect.stringContaining("leads nowhere") })
  })

  test("is there whole or not at all, wherever it is killed or the disk is full", async () => {
    await said([...force(args), "mine.txt"])
    const whole = read("mine.txt")
    for (const fault of ["killed", "full"] as const)
      for (let change = 1; ; change++) {
        put("mine.txt", mine)
        let ran = { exit: 0 as number | null, out: "", err: "" }
        const came = await onFaultyDisk(fault, change, async () => {
          ran = await said([...force(args), "mine.txt"])
        })
        if (!came) {
          expect(change).toBeGreaterThan(3)
          break
        }
        expect([mine, whole]).toContain(read("mine.txt"))
        for (const name of Object.keys(files)) if (name !== "mine.txt") expect(read(name)).toBe(files[name])
        if (fault === "full" && read("mine.txt") === mine) {
          expect(ran).toMatchObject({
            exit: 2,
            err: expect.stringContaining("There is no space left on the disk"),
          })
          expectUntouched()
        }
        for (const name of readdirSync(folder)) if (name.endsWith(".tmp")) rmSync(at(name))
      }
  })
})

describe("files that are changed in place", () => {
  const inPlace: readonly (readonly [args: readonly string[], file: string])[] = [
    [["format", "--write", "ugly.ruleout"], "ugly.ruleout"],
    [["check", "--fix", "idle.ruleout"], "idle.ruleout"],
    [["fit", "--write", "--unconfirmed", "--weight", "1", "lamp.ruleout", "made.jsonl"], "lamp.ruleout"],
  ]
  const begin = (file: string) =>
    file === "idle.ruleout"
      ? `${shop}when glow is yes rule out plug_loose\nwhen glow is yes rule out plug_loose\n`
      : files[file]!

  test.each(inPlace)("%j", async (args, file) => {
    put(file, begin(file))
    chmodSync(at(file), 0o444)
    const refused = await said(args)
    expect(refused).toMatchObject({ exit: 2, err: expect.stringContaining("is write-protected") })
    expect(read(file)).toBe(begin(file))
    chmodSync(at(file), 0o666)
    if (process.getuid?.() === 0) chownSync(at(file), 4321, 4322)
    expect((await said(args)).exit).not.toBe(2)
    const whole = read(file)
    expect(whole).not.toBe(begin(file))
    expect(statSync(at(file)).mode & 0o777).toBe(0o666)
    if (process.getuid?.() === 0) expect(statSync(at(file)).uid).toBe(4321)
    for (const fault of ["killed", "full"] as const)
      for (let change = 1; ; change++) {
        put(file, begin(file))
        if (!(await onFaultyDisk(fault, change, () => said(args)))) break
        expect([begin(file), whole]).toContain(read(file))
      }
  })
})

test("somebody else's file stays theirs where its owner can't be given", async () => {
  // Whoever isn't root can't give files away: the file is written over, and the draft is there until it is.
  const { default: fs } = await import("node:fs")
  const { syncBuiltinESMExports } = await import("node:module")
  const real = fs.fchownSync
  chownSync(at("mine.txt"), 4321, 4322)
  fs.fchownSync = () => {
    throw Object.assign(new Error("EPERM"), { code: "EPERM" })
  }
  syncBuiltinESMExports()
  try {
    expect((await said(["ship", "made.json", "--force", "-o", "mine.txt"])).exit).toBe(0)
    expect(statSync(at("mine.txt")).uid).toBe(4321)
    expect(read("mine.txt")).toContain('"ruleout-graph/2"')
    expectUntouched("mine.txt")
  } finally {
    fs.fchownSync = real
    syncBuiltinESMExports()
  }
})

test("two outputs need two files, and a file of cases on standard input is an input too", async () => {
  for (const args of [
    ["import", "lamp.ruleout", "jobs.csv", "--out", "new.txt", "--rejected", "./new.txt"],
    ["replay", "made.json", "jobs.csv", "--html", "new.txt", "--rejected", "new.txt"],
  ])
    expect(await said(args)).toMatchObject({
      exit: 2,
      err: expect.stringContaining("is named for two outputs"),
    })
  expect(existsSync(at("new.txt"))).toBe(false)
  const { openSync, closeSync } = await import("node:fs")
  const { spawnSync } = await import("node:child_process")
  const { main } = await import("../run.ts")
  linkSync(at("jobs.csv"), at("hard.txt"))
  const handle = openSync(at("jobs.csv"), "r")
  const ran = spawnSync(
    process.execPath,
    [main, "import", "lamp.ruleout", "-", "--force", "--out", "hard.txt"],
    {
      cwd: folder,
      stdio: [handle, "pipe", "pipe"],
      encoding: "utf8",
    },
  )
  closeSync(handle)
  expect(ran.stderr).toContain("what this command reads")
  expectUntouched()
})

test("a full disk on standard output is said in words", async () => {
  if (!existsSync("/dev/full")) return
  const { openSync, closeSync } = await import("node:fs")
  const { spawnSync } = await import("node:child_process")
  const { main } = await import("../run.ts")
  for (const args of [
    ["compile", "lamp.ruleout", "--out", "-"],
    ["check", "lamp.ruleout", "--json"],
    ["replay", "made.json", "jobs.csv", "--csv"],
  ]) {
    const handle = openSync("/dev/full", "w")
    const ran = spawnSync(process.execPath, [main, ...args], {
      cwd: folder,
      stdio: ["ignore", handle, "pipe"],
      encoding: "utf8",
    })
    closeSync(handle)
    expect(ran.status).toBe(2)
    expect(ran.stderr).toContain("There is no space left on the disk for standard output.")
    expect(ran.stderr).not.toMatch(/\n\s+at |node:|ENOSPC/)
  }
  expect(ruleout(["ship", "made.json", "-o", "/dev/full"])).toMatchObject({
    exit: 2,
    err: expect.stringContaining("There is no space left on the disk for `/dev/full`."),
  })
})
