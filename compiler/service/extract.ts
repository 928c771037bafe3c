import type { Change } from "../diagnostics/diagnostic.ts"
import { folderOf } from "../model/relative-paths.ts"
import type { Declaration } from "../syntax/syntax-tree.ts"
import type { Workspace } from "./workspace.ts"

/** Declarations moved to a file of their own, which several rulesets can use. */
export interface Extraction {
  /** The new file, and what stands in it. */
  readonly file: string
  readonly text: string
  /** In the file that they come from: the `use` in their place. */
  readonly changes: readonly Change[]
}

/**
 * Takes the whole declarations of a selection out into a shared file beside this one; undefined if the selection
 * has none. A `ruleset` and a `use` stay: a file that is used has no ruleset, and paths are as seen from their file.
 */
export function extract(
  workspace: Workspace,
  file: string,
  start: number,
  end: number,
): Extraction | undefined {
  const tree = workspace.tree(file)
  const source = workspace.text(file)
  const chosen = (tree?.declarations ?? []).filter(
    ({ kind, span }) => kind !== "ruleset" && kind !== "use" && start <= span.start && span.end <= end,
  )
  if (chosen.length === 0) return undefined
  const path = newPath(workspace, file, chosen)
  const pieces = chosen.map((each) => stretchOf(source, each))
  const changes = pieces.map(({ start, end }, i) => ({
    span: { file, start, end },
    text: i === 0 ? `use "${path}"` : "",
  }))
  const text = `${pieces.map((piece) => source.slice(piece.start, piece.end)).join("\n")}\n`
  return { file: `${folderOf(file)}${path}`, text, changes }
}

/** With the comments right above it and after it on its last line. */
function stretchOf(source: string, { leading, detached, span }: Declaration): { start: number; end: number } {
  const own = detached ? undefined : leading.find(({ ownLine }) => ownLine)
  const line = source.indexOf("\n", span.end)
  const rest = source.slice(span.end, line < 0 ? source.length : line)
  const end = /^\s*#/.test(rest) ? span.end + rest.trimEnd().length : span.end
  return { start: own?.span.start ?? span.start, end }
}

function newPath(workspace: Workspace, file: string, [first]: readonly Declaration[]): string {
  const stem = (first && "name" in first && first.name?.text.replaceAll("_", "-")) || "extracted"
  const isTaken = (path: string) => workspace.files.includes(`${folderOf(file)}${path}`)
  for (let i = 1; ; i++) {
    const path = `shared/${stem}${i === 1 ? "" : `-${i}`}.ruleout`
    if (!isTaken(path)) return path
  }
}
