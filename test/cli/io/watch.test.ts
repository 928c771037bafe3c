import { spawn } from "node:child_process"
import { rmSync, writeFileSync } from "node:fs"
import { createInterface } from "node:readline"
import { PassThrough } from "node:stream"
import { describe, expect, test } from "vitest"
import { readText } from "../../../compiler/cli/io/files.ts"
import { forgetFiles, hasChanged, noteLookedFor } from "../../../compiler/cli/io/known-files.ts"
import { nextChange } from "../../../compiler/cli/io/watch-files.ts"
import { runWatched } from "../../../compiler/cli/io/watch-flag.ts"
import { main, openFolder, said } from "../run.ts"

const { at, put, read } = openFolder()

describe("--watch", () => {
  test("does it again after each change, knows which files were read, and goes on after an error", async () => {
    forgetFiles()
    const known: (readonly string[])[] = []
    const reads = [["a.txt"], ["a.txt", "used.txt"], []]
    const exits = [0, 1, 2] as const
    let round = 0
    const work = () => {
      const now = round++
      for (const name of reads[now]!) readText(at(put(name, "text")), 100)
      if (exits[now] === 2) readText(at("missing.txt"), 100)
      return exits[now]!
    }
    const changed = async (files: readonly string[]) => known.push([...files].sort()) < 3
    put("a.txt", "")
    const exit = await runWatched([at("a.txt")], { watch: true }, work, changed)
    expect(exit).toBe(2)
    expect(round).toBe(3)
    expect(known).toEqual(
      [["a.txt"], ["a.txt", "used.txt"], ["a.txt", "missing.txt"]].map((names) => names.map(at)),
    )
  })

  test("as a process: the problems of each version, until it is ended", async () => {
    const whole = read("seat.ruleout")
    put("seen.ruleout", whole)
    const child = spawn(process.execPath, [main, "check", "seen.ruleout", "--watch"], { cwd: at("") })
    const both = new PassThrough()
    for (const stream of [child.stdout, child.stderr]) stream.pipe(both, { end: false })
    const lines = createInterface({ input: both })[Symbol.asyncIterator]()
    const said = async (wanted: string) => {
      while (!(await lines.next()).value.includes(wanted));
    }
    try {
      await said("Watching 1 file")
      put("seen.ruleout", `${whole}fault\n`)
      await said("[incomplete]")
      await said("Watching 1 file")
      put("seen.ruleout", whole)
      await said("No problems found.")
    } finally {
      child.kill("SIGKILL")
    }
  })

  test("sees a file that is written, replaced, or made", async () => {
    const file = at("watched.txt")
    for (const change of [
      () => writeFileSync(file, "made"),
      () => writeFileSync(file, "written"),
      () => rmSync(file),
    ]) {
      forgetFiles()
      for (const each of [at("other.txt"), file]) noteLookedFor(each)
      expect(hasChanged()).toBe(false)
      change()
      expect(await nextChange()).toBe(true)
    }
  })

  test.each([["check"], ["test"], ["compile"]])("%s refuses to watch standard input", async (command) => {
    expect(await said([command, "-", "--watch"])).toMatchObject({
      exit: 2,
      err: expect.stringContaining("Standard input can't be watched."),
    })
  })

  test("without it, the work is done once", async () => {
    let done = 0
    const work = () => {
      done++
      return 1 as const
    }
    expect(await runWatched(["-"], {}, work)).toBe(1)
    expect(done).toBe(1)
  })
})
