import { readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { checks } from "../../compiler/check/check.ts"
import { FRAME } from "../../compiler/check/example-ruleset.ts"
import { analyse } from "../../compiler/compile.ts"
import { applyChanges } from "../../compiler/diagnostics/apply-edits.ts"
import type { Diagnostic, Edit } from "../../compiler/diagnostics/diagnostic.ts"
import { parse } from "../../compiler/syntax/parser/parse.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { seeded } from "../support/models.ts"
import { slip } from "../support/mutants.ts"
import { draftFrom, sourceOf } from "./drafts.ts"

const FILE = "corpus.ruleout"

const diagnosticsOf = (text: string) => analyse(FILE, () => text, { gaps: true }).diagnostics

const errorsOf = (text: string) =>
  parse(FILE, text).diagnostics.filter(({ severity }) => severity === "error").length

const same = (a: Diagnostic) => (b: Diagnostic) => a.code === b.code && a.message === b.message

/** What an edit does that it must not: make the text one that can't be read, or leave its own problem where it is. */
function faultOf(
  text: string,
  said: readonly Diagnostic[],
  diagnostic: Diagnostic,
  edit: Edit,
): string | undefined {
  const after = applyChanges(text, edit.changes)
  const where = `${diagnostic.code}, \`${edit.title}\`, in:\n${text}\nbecomes:\n${after}`
  if (after === text) return `changes nothing: ${where}`
  if (errorsOf(after) > errorsOf(text)) return `can't be read: ${where}`
  const count = (all: readonly Diagnostic[]) => all.filter(same(diagnostic)).length
  if (count(diagnosticsOf(after)) >= count(said)) return `is still a problem: ${where}`
  return undefined
}

/** Applies every edit that is offered for a text, each by itself; counts them by code. */
function tryAll(text: string, counts: Map<string, number>): void {
  const said = diagnosticsOf(text)
  for (const diagnostic of said)
    for (const edit of diagnostic.edits) {
      counts.set(diagnostic.code, (counts.get(diagnostic.code) ?? 0) + 1)
      expect(faultOf(text, said, diagnostic, edit)).toBeUndefined()
    }
}

const total = (counts: ReadonlyMap<string, number>) => [...counts.values()].reduce((so, n) => so + n, 0)

describe("every edit, applied by itself, can be read and takes its own problem away", () => {
  test("of the analysis, in drawn rulesets", { timeout: 120_000 }, () => {
    const counts = new Map<string, number>()
    for (let seed = 1; seed <= 250; seed++) tryAll(sourceOf(draftFrom(seeded(seed))), counts)
    for (const { example } of checks) tryAll(`${FRAME}\n${example}\n`, counts)
    expect(total(counts)).toBeGreaterThan(300)
    expect([...counts.keys()]).toEqual(expect.arrayContaining(["contradiction", "idle-rule"]))
  })

  test("of reading and binding, in texts with a slip of the pen", { timeout: 120_000 }, () => {
    const counts = new Map<string, number>()
    const sources = [
      KIOSK_DARK,
      readFileSync(join(import.meta.dirname, "../cli/seat.ruleout"), "utf8"),
      FRAME,
    ]
    for (let seed = 1; seed <= 400; seed++) {
      const draw = seeded(seed)
      tryAll(slip(sources[seed % sources.length]!, draw), counts)
    }
    expect(total(counts)).toBeGreaterThan(200)
    expect(counts.size).toBeGreaterThan(8)
  })
})
