/** Every edit that the compiler offers, applied by itself to the texts of a large corpus. */
import { readFileSync } from "node:fs"
import { join } from "node:path"
import { FRAME } from "../../compiler/check/example-ruleset.ts"
import { analyse } from "../../compiler/compile.ts"
import { applyChanges } from "../../compiler/diagnostics/apply-edits.ts"
import type { Diagnostic, Edit } from "../../compiler/diagnostics/diagnostic.ts"
import { parse } from "../../compiler/syntax/parser/parse.ts"
import { draftFrom, sourceOf } from "./drafts.ts"
import { KIOSK_DARK } from "./kiosk.ts"
import { seeded } from "./models.ts"
import { slip } from "./mutants.ts"

const FILE = "corpus.ruleout"

const diagnosticsOf = (text: string) => analyse(FILE, () => text, { gaps: true }).diagnostics

const errorsOf = (text: string) =>
  parse(FILE, text).diagnostics.filter(({ severity }) => severity === "error").length

/** An edit moves what stands below it: the problem of another line is another one only by what it says. */
const saidOf = ({ code, message }: Diagnostic) => `${code} ${message.replace(/\bline \d+/g, "line")}`

const same = (a: Diagnostic) => (b: Diagnostic) => saidOf(a) === saidOf(b)

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

/** Edits that were applied, by the code that offers them, and those that did what they must not. */
export interface Tried {
  readonly counts: Map<string, number>
  readonly faults: string[]
}

export const nothingTried = (): Tried => ({ counts: new Map(), faults: [] })

/** How many edits were applied. */
export const editsOf = ({ counts }: Tried) => [...counts.values()].reduce((sum, count) => sum + count, 0)

/** Applies every edit that is offered for a text, each by itself. */
export function tryEdits(text: string, { counts, faults }: Tried): void {
  const said = diagnosticsOf(text)
  for (const diagnostic of said)
    for (const edit of diagnostic.edits) {
      counts.set(diagnostic.code, (counts.get(diagnostic.code) ?? 0) + 1)
      const fault = faultOf(text, said, diagnostic, edit)
      if (fault !== undefined) faults.push(fault)
    }
}

/** A drawn ruleset that can be read, for what the analysis says of it. */
export const drawnRuleset = (seed: number): string => sourceOf(draftFrom(seeded(seed)))

const SEAT = readFileSync(join(import.meta.dirname, "../cli/seat.ruleout"), "utf8")
const SOURCES = [KIOSK_DARK, SEAT, FRAME]

/** A ruleset with one slip of the pen. */
export const slippedRuleset = (seed: number): string => slip(SOURCES[seed % SOURCES.length]!, seeded(seed))
