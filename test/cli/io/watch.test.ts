import { rmSync, writeFileSync } from "node:fs"
import { describe, expect, test } from "vitest"
import { readText } from "../../../compiler/cli/io/files.ts"
import { forgetFiles } from "../../../compiler/cli/io/known-files.ts"
import { nextChange } from "../../../compiler/cli/io/watch.ts"
import { watched } from "../../../compiler/cli/io/watched.ts"
import { openFolder, said } from "../run.ts"

const { at, put } = openFolder()

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
    const exit = await watched([at("a.txt")], { watch: true }, work, changed)
    expect(exit).toBe(2)
    expect(round).toBe(3)
    expect(known).toEqual(
      [["a.txt"], ["a.txt", "used.txt"], ["a.txt", "missing.txt"]].map((names) => names.map(at)),
    )
  })

  test("sees a file that is written, replaced, or made", async () => {
    const file = at("watched.txt")
    for (const change of [
      () => writeFileSync(file, "made"),
      () => writeFileSync(file, "written"),
      () => rmSync(file),
    ]) {
      const seen = nextChange([at("other.txt"), file])
      // So that the first look at the file comes before the change.
      await new Promise((resolve) => setTimeout(resolve, 50))
      change()
      expect(await seen).toBe(true)
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
    expect(await watched(["-"], {}, work)).toBe(1)
    expect(done).toBe(1)
  })
})
