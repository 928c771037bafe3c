/** `ruleout check --fix`: applies the edits that change nothing that a correct ruleset means. */
import type { AnalysisOptions } from "../../compile.ts"
import { applyToFiles, safeEdits } from "../../diagnostics/apply-edits.ts"
import { analyseFile } from "../io/compile-file.ts"
import { rewrite } from "../io/output.ts"

/** One edit may make room for the next; a ruleset that isn't settled after so many rounds is left to its author. */
const MOST_ROUNDS = 20

export interface Fixed {
  readonly file: string
  readonly title: string
  readonly message: string
}

/** Changes a ruleset in place, and the files that it uses. Returns the applied edits in order. */
export function fix(file: string, options: AnalysisOptions = {}): Fixed[] {
  const done: Fixed[] = []
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const { diagnostics, sources } = analyseFile(file, options)
    const chosen = safeEdits(diagnostics)
    if (chosen.length === 0) break
    const texts = applyToFiles(
      chosen.flatMap(({ edit }) => edit.changes),
      sources,
    )
    for (const [path, text] of texts) rewrite(path, text)
    done.push(
      ...chosen.map(({ edit: { title }, diagnostic: { message, span } }) => ({
        file: span.file,
        title,
        message,
      })),
    )
  }
  return done
}
