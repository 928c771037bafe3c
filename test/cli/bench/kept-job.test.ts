import { type ChildProcess, spawn } from "node:child_process"
import { chmodSync, existsSync, linkSync, mkdirSync, readdirSync, rmSync } from "node:fs"
import { beforeAll, beforeEach, describe, expect, test } from "vitest"
import { main, openFolder, ruleout, takeTime } from "../run.ts"
import { TWO_PLUGS } from "../two-plugs.ts"

takeTime()

const { folder, at, read, put, removeAllBut } = openFolder()

const fan = TWO_PLUGS.replace("two_plugs", "fan")
const answers = ["find left_lamp no", "find right_lamp yes", "find push_left stays", "find push_right gone"]
const ending = ["left_loose right_loose"]

beforeAll(() => {
  put("fan.ruleout", fan)
  expect(ruleout(["compile", "fan.ruleout", "-o", "fan.graph.json"]).exit).toBe(0)
})

beforeEach(() => removeAllBut("fan.ruleout", "fan.graph.json"))

const bench = (args: readonly string[], ...lines: string[]) =>
  ruleout(["bench", "fan.graph.json", ...args], lines.map((line) => `${line}\n`).join(""))

/** Types these lines into a job, each when the one before has been answered; `after` may then do something to it. */
async function typed(
  args: readonly string[],
  lines: readonly string[],
  after: (line: number, child: ChildProcess) => void,
): Promise<{ exit: number | null; out: string }> {
  const child = spawn(process.execPath, [main, "bench", "fan.graph.json", ...args], { cwd: folder })
  let out = ""
  let line = 0
  child.stdout.on("data", (data) => {
    out += data
    while (out.split("\n> ").length > line + 1) {
      if (line > 0) after(line, child)
      if (line < lines.length) child.stdin.write(`${lines[line]}\n`)
      line++
    }
  })
  const exit = await new Promise<number | null>((resolve) => child.once("close", resolve))
  return { exit, out }
}

const killed = (signal: NodeJS.Signals, args: readonly string[], lines: readonly string[]) =>
  typed(args, lines, (line, child) => {
    if (line === lines.length) child.kill(signal)
  })

describe("a job that is interrupted", () => {
  test.each(["SIGKILL", "SIGHUP", "SIGINT", "SIGTERM"] as const)(
    "by %s after any step goes on where it was",
    { timeout: 60_000 },
    async (signal) => {
      // The steps of all signals together are those of a job.
      for (const steps of signal === "SIGKILL" ? [1, 2, 3, 4] : [2]) {
        rmSync(at("fan.job.json"), { force: true })
        await killed(signal, ["--save", "done.jsonl"], answers.slice(0, steps))
        expect(existsSync(at("fan.job.json"))).toBe(true)
        rmSync(at("done.jsonl"), { force: true })
        const { exit, out } = bench(
          ["--resume", "--save", "done.jsonl", "--id", "K-1"],
          ...answers.slice(steps),
          ...ending,
        )
        expect(exit).toBe(0)
        // Without a proof to run, the job closes by itself after the fourth.
        const kept = steps === 4 ? 5 : steps
        expect(out).toContain(`The job goes on after ${kept === 1 ? "1 step;" : `${kept} steps;`}`)
        const unbroken = bench(["--save", "whole.jsonl", "--id", "K-1"], ...answers, ...ending)
        expect(unbroken.exit).toBe(0)
        expect(JSON.parse(read("done.jsonl"))).toEqual(JSON.parse(read("whole.jsonl")))
        expect(existsSync(at("fan.job.json"))).toBe(false)
        rmSync(at("whole.jsonl"))
      }
    },
  )

  test("is said where it is kept; nothing is left of one in which nothing was found, or that ended", () => {
    const cut = bench([], ...answers.slice(0, 1))
    expect(cut.exit).toBe(1)
    expect(cut.out).toContain(
      "The input ended before the job did; the job is kept in `fan.job.json`; the same command with --resume goes on with it.",
    )
    expect(bench([], ...answers, ...ending).exit).toBe(0)
    expect(bench([], "quit").out).toContain("Stopped; nothing was found yet.")
    expect(readdirSync(folder).filter((name) => name.endsWith(".job.json"))).toEqual(["fan.job.json"])
    // A second job doesn't take the place of the first, and the last one goes on first.
    bench([], ...answers.slice(0, 2))
    expect(bench(["--resume"], "quit").out).toContain("goes on after 2 steps")
    rmSync(at("fan-2.job.json"))
    expect(bench(["--resume"], "quit").out).toContain("goes on after 1 step;")
  })

  test("is kept beside the file that it is going to be saved in", () => {
    mkdirSync(at("year"))
    bench(["--save", "year/jobs.jsonl"], ...answers.slice(0, 1))
    expect(readdirSync(at("year"))).toEqual(["fan.job.json"])
    expect(bench(["--resume", "--save", "year/jobs.jsonl"], ...answers.slice(1), ...ending).exit).toBe(0)
    expect(readdirSync(at("year"))).toEqual(["jobs.jsonl"])
  })

  test("in another terminal is left to it", async () => {
    bench([], ...answers.slice(0, 1))
    const job = JSON.parse(read("fan.job.json"))
    put("fan.job.json", JSON.stringify({ ...job, process: process.pid }))
    expect(bench(["--resume"])).toMatchObject({
      exit: 2,
      err: expect.stringContaining("The job in `fan.job.json` is open in another terminal."),
    })
    expect(bench(["--job", "fan.job.json"], "quit").out).toContain("goes on after 1 step;")
  })

  test("there is none, or one of another ruleset, or a file that is none", () => {
    put("fan.job.json", '{"format":"ruleout-job/1","ruleset":"other","log":[]}')
    put("fan-2.job.json", "[")
    expect(bench(["--resume"])).toMatchObject({
      exit: 2,
      err: expect.stringContaining("There is no unfinished job of `fan` in `.`."),
    })
    expect(read("fan-2.job.json")).toBe("[")
    expect(bench(["--resume", "--job", "x.json"]).err).toContain("Use one of --job, --resume and --from.")
  })

  test("that can't be kept any more goes on, and says so once", async () => {
    mkdirSync(at("gone"))
    const { exit, out } = await typed(["--job", "gone/x.json"], [...answers, ...ending], (line) => {
      if (line === 2) rmSync(at("gone"), { recursive: true })
    })
    expect(exit).toBe(0)
    const warning = "The job can't be kept from here on: The folder of `gone/x.json` doesn't exist."
    expect(out.split(warning)).toHaveLength(2)
    expect(out).toContain("The machine passed its proof run: the job is done.")
    mkdirSync(at("gone"))
    expect(bench(["--job", "gone"], ...answers)).toMatchObject({ exit: 2, out: "" })
  })
})

describe("the file that a job is saved in", () => {
  const refused = (name: string) => {
    const before = existsSync(at(name)) ? read(name) : undefined
    const { exit, out, err } = bench(["--save", name], ...answers, ...ending)
    expect({ exit, out, after: existsSync(at(name)) ? read(name) : undefined }).toEqual({
      exit: 2,
      out: "",
      after: before,
    })
    return err
  }

  test("is no ruleset, graph, table or text", () => {
    put("rules.txt", fan)
    put("jobs.csv", "id,fault\nK-1,left_loose\n")
    put("array.jsonl", "[1]\n")
    put("one-line.json", JSON.stringify(JSON.parse(read("fan.graph.json"))))
    linkSync(at("fan.graph.json"), at("hard.json"))
    for (const name of ["rules.txt", "array.jsonl", "one-line.json"])
      expect(refused(name)).toContain(`\`${name}\` has something else than recorded cases in it.`)
    expect(refused("fan.ruleout")).toContain("by its name is a ruleset")
    expect(refused("jobs.csv")).toContain("by its name is a table")
    expect(refused("hard.json")).toContain("is what this command reads")
  })

  test("is opened before the first step", () => {
    expect(refused("no/such/folder.jsonl")).toContain("The folder of `no/such/folder.jsonl` doesn't exist.")
    put("closed.jsonl", '{"id":"K-0","steps":[]}\n')
    chmodSync(at("closed.jsonl"), 0o444)
    expect(refused("closed.jsonl")).toContain("`closed.jsonl` is write-protected.")
    mkdirSync(at("folder.jsonl"))
    expect(bench(["--save", "folder.jsonl"], ...answers)).toMatchObject({ exit: 2, out: "" })
  })

  test("gets the job after its last line, whether that has ended or not", () => {
    put("cut.jsonl", '{"id":"K-0","steps":[]}')
    expect(bench(["--save", "cut.jsonl", "--id", "K-1"], ...answers, ...ending).exit).toBe(0)
    expect(bench(["--save", "cut.jsonl", "--id", "K-2"], ...answers, ...ending).exit).toBe(0)
    const ids = read("cut.jsonl")
      .trimEnd()
      .split("\n")
      .map((line) => JSON.parse(line).id)
    expect(ids).toEqual(["K-0", "K-1", "K-2"])
  })

  test("that is full loses nothing: the record is printed and the job is kept", () => {
    if (!existsSync("/dev/full")) return
    const job = ["--job", "k.job.json", "--id", "K-9"]
    const { exit, out, err } = bench([...job, "--save", "/dev/full"], ...answers, ...ending)
    expect(exit).toBe(2)
    expect(err).toContain("There is no space left on the disk for `/dev/full`.")
    expect(err).not.toMatch(/\n\s+at |node:|ENOSPC/)
    const record = JSON.parse(out.split("This is its record:\n")[1]!.split("\n")[0]!)
    expect(bench([...job, "--save", "room.jsonl"], ending[0]!).exit).toBe(0)
    expect(JSON.parse(read("room.jsonl"))).toEqual(record)
    expect(existsSync(at("k.job.json"))).toBe(false)
  })
})
