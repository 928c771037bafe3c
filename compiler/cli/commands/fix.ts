/** `ruleout check --fix`: applies the edits that change nothing that a correct ruleset means. */
import { analyse } from "../../compile.ts"
import type { Change, Diagnostic, Edit } from "../../diagnostics/diagnostic.ts"
import { slashed, writeWhole } from "../io/files.ts"
import { reader } from "../io/inputs.ts"

/** One edit may make room for the next; a ruleset that is not at rest after so many rounds is left to its author. */
const MOST_ROUNDS = 20

export interface Fixed {
  readonly file: string
  readonly title: string
  readonly message: string
}

/** Mends a ruleset in place, and the files that it uses. Says what was done, in order. */
export function fix(file: string): Fixed[] {
  const done: Fixed[] = []
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const { diagnostics, sources } = analyse(slashed(file), reader(file))
    const chosen = apart(diagnostics)
    if (chosen.length === 0) break
    const changes = chosen.flatMap(({ edit }) => edit.changes)
    for (const path of new Set(changes.map(({ span }) => span.file))) {
      const text = sources.get(path)
      if (text !== undefined)
        writeWhole(
          path,
          changed(
            text,
            changes.filter(({ span }) => span.file === path),
          ),
        )
    }
    done.push(
      ...chosen.map(({ edit, diagnostic }) => ({
        file: diagnostic.span.file,
        title: edit.title,
        message: diagnostic.message,
      })),
    )
  }
  return done
}

/** The first safe edit of each diagnostic, without those that touch what another one touches. */
function apart(diagnostics: readonly Diagnostic[]): { diagnostic: Diagnostic; edit: Edit }[] {
  const taken: Change[] = []
  const chosen: { diagnostic: Diagnostic; edit: Edit }[] = []
  for (const diagnostic of diagnostics) {
    const edit = diagnostic.edits.find(({ safe }) => safe)
    if (edit === undefined || edit.changes.some((change) => taken.some((other) => overlap(change, other))))
      continue
    taken.push(...edit.changes)
    chosen.push({ diagnostic, edit })
  }
  return chosen
}

function overlap({ span: a }: Change, { span: b }: Change): boolean {
  return a.file === b.file && a.start <= b.end && b.start <= a.end
}

/** The text with all changes made; a line that a removal leaves empty goes too. */
export function changed(text: string, changes: readonly Change[]): string {
  let result = text
  for (const { span, text: put } of [...changes].sort((a, b) => b.span.start - a.span.start)) {
    let { start, end } = span
    const lineStart = result.lastIndexOf("\n", start - 1) + 1
    const lineEnd = result.indexOf("\n", end)
    const alone =
      lineEnd >= 0 && result.slice(lineStart, start).trim() === "" && result.slice(end, lineEnd).trim() === ""
    if (put === "" && alone) [start, end] = [lineStart, lineEnd + 1]
    result = result.slice(0, start) + put + result.slice(end)
  }
  return result
}
