/** How edits change texts: the one place that applies them, for the command line, the editor and fitted numbers. */
import type { Change, Diagnostic, Edit } from "./diagnostic.ts"
import { Lines } from "./line-index.ts"

/**
 * The text with all changes made; all must be of this text and none may overlap another. Insertions at one place keep
 * their order. A removal that leaves nothing else on its line takes the line with it.
 */
export function applyChanges(text: string, changes: readonly Change[]): string {
  const sorted = changes
    .map(({ span: { start, end }, text }) => ({ start, end, text }))
    .sort((a, b) => a.start - b.start || a.end - b.end)
  const lines = new Lines(text)
  let result = ""
  let done = 0
  sorted.forEach((change, i) => {
    const whole = change.text === "" ? wholeLines(lines, change) : change
    const [before, after] = [sorted[i - 1], sorted[i + 1]]
    const isFree =
      (!before || (before.start < whole.start && before.end <= whole.start)) &&
      (!after || after.start >= whole.end)
    const { start, end } = isFree ? whole : change
    result += text.slice(done, start) + change.text
    done = end
  })
  return result + text.slice(done)
}

/** The texts that change, by file; a change in a file that is not among the sources is left out. */
export function applyToFiles(
  changes: readonly Change[],
  sources: ReadonlyMap<string, string>,
): Map<string, string> {
  const files = new Set(changes.map(({ span }) => span.file))
  const texts = new Map<string, string>()
  for (const file of files) {
    const text = sources.get(file)
    if (text === undefined) continue
    texts.set(
      file,
      applyChanges(
        text,
        changes.filter(({ span }) => span.file === file),
      ),
    )
  }
  return texts
}

export interface ChosenEdit {
  readonly diagnostic: Diagnostic
  readonly edit: Edit
}

/** The first safe edit of each diagnostic, except those that touch what an earlier one changes: each is applied whole or not at all. */
export function safeEdits(diagnostics: readonly Diagnostic[]): ChosenEdit[] {
  const taken: Change[] = []
  const chosen: ChosenEdit[] = []
  for (const diagnostic of diagnostics) {
    const edit = diagnostic.edits.find(({ safe }) => safe)
    if (edit === undefined || edit.changes.some((change) => taken.some((other) => touches(change, other))))
      continue
    taken.push(...edit.changes)
    chosen.push({ diagnostic, edit })
  }
  return chosen
}

/** Adjacent counts too: what the two together say was never checked. */
function touches({ span: a }: Change, { span: b }: Change): boolean {
  return a.file === b.file && a.start <= b.end && b.start <= a.end
}

/** The lines that a stretch is in, line breaks included, if nothing else is on them; else the stretch. */
function wholeLines(
  lines: Lines,
  stretch: { readonly start: number; readonly end: number },
): { readonly start: number; readonly end: number } {
  const { text } = lines
  const first = lines.bounds(lines.at(stretch.start).line)
  const lastLine = lines.at(stretch.end).line
  const last = lines.bounds(lastLine)
  const isAlone =
    lastLine < lines.count &&
    text.slice(first.start, stretch.start).trim() === "" &&
    text.slice(stretch.end, last.end).trim() === ""
  return isAlone ? { start: first.start, end: lines.bounds(lastLine + 1).start } : stretch
}
