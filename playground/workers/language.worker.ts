import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import { makeService } from "../../compiler/service/index.ts"
import { serve } from "./rpc.ts"

/**
 * The language service in a worker. Changes only note the new text; diagnostics are made when no newer change is waiting,
 * so that fast typing costs one reading and not twenty.
 */
const service = makeService()
/** Of the newest text; what was made for an older one is dropped. */
let version = 0
/** The timer after which diagnostics are made. */
let due: number | undefined

export interface LanguageUpdate {
  readonly version: number
  readonly diagnostics: readonly Diagnostic[]
}

function tellSoon(next: number): void {
  version = next
  if (due !== undefined) clearTimeout(due)
  due = self.setTimeout(() => {
    due = undefined
    self.postMessage({ told: { version, diagnostics: service.diagnostics() } satisfies LanguageUpdate })
  }, 0)
}

export const functions = {
  set(
    files: Readonly<Record<string, string>>,
    root: string,
    next: number,
    pictures: readonly string[],
  ): void {
    service.set(files, root, pictures)
    tellSoon(next)
  },
  change(file: string, text: string, next: number): void {
    service.change(file, text)
    tellSoon(next)
  },
  complete: service.complete,
  hover: service.hover,
  definition: service.definition,
  references: service.references,
  renamed: service.renamed,
  rename: service.rename,
  outline: service.outline,
  folding: service.folding,
  format: service.format,
  hints: service.hints,
}
serve(functions)
