import { existsSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"

const here = import.meta.dirname

/** The rows of the page: how much, the file, and how the title begins of the test that does it. */
const rows = readFileSync(join(here, "hardening.md"), "utf8")
  .split("\n")
  .flatMap((line) => {
    const [, count, file, title] = /\|\s*([\w,]+)\s*\|\s*\[[^\]]*\]\(([^)]*)\): `(.*)`\s*\|$/.exec(line) ?? []
    return count === undefined ? [] : [{ count, file: file!, title: title! }]
  })

test("the page of what was tried names tests that there are, and tells counts that are in them", () => {
  expect(rows.length).toBeGreaterThan(25)
  for (const { count, file, title } of rows) {
    const path = join(here, file)
    expect([file, existsSync(path)]).toEqual([file, true])
    const text = readFileSync(path, "utf8")
    expect([file, title, text.includes(title)]).toEqual([file, title, true])
    // Small counts are those of lists, which the tests go through whole.
    const isThere = Number(count) < 20 || text.includes(count)
    expect([file, count, isThere]).toEqual([file, count, true])
  }
})
