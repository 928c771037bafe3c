import { at } from "../run/lookup.ts"
import { percent } from "../wording/figures.ts"
import { prior } from "./posterior.ts"
import type { Workspace } from "./workspace.ts"

/** A few words that an editor shows in the text, after what they speak of. */
export interface Hint {
  readonly offset: number
  readonly text: string
  readonly says: string
}

/** After the odds of each fault of a file, how many jobs have it; nothing while the ruleset has errors. */
export function hints(workspace: Workspace, file: string): Hint[] {
  const { model } = workspace.reading
  const tree = workspace.tree(file)
  if (!model || !tree) return []
  const chances = prior(model).faults
  const indexes = new Map(model.faults.map(({ name }, i) => [name, i]))
  return tree.declarations.flatMap((declaration) => {
    if (declaration.kind !== "fault" || !declaration.odds) return []
    const fault = indexes.get(declaration.name?.text ?? "")
    if (fault === undefined) return []
    const text = percent(at(chances, fault))
    return { offset: declaration.odds.span.end, text, says: `${text} of jobs have it, before any finding.` }
  })
}
