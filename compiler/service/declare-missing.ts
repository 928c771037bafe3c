import type { Diagnostic, Edit } from "../diagnostics/diagnostic.ts"
import type { NamedKind } from "../syntax/language/arguments.ts"
import { namesUsed } from "../syntax/language/names-in.ts"
import type { Declaration, Tree } from "../syntax/syntax-tree.ts"
import type { Workspace } from "./workspace.ts"

/**
 * For a name that nothing declares, declarations of what it can stand for where it is used: after the last one of its
 * kind in that file, else before the declaration that uses it. What only the author can know is filled with the name.
 */
export function declareMissing(workspace: Workspace, { code, span }: Diagnostic): Edit[] {
  const tree = workspace.tree(span.file)
  if (code !== "unknown-name" || !tree) return []
  for (const user of tree.declarations) {
    // An entry of texts is about what the ruleset has.
    if (user.kind === "texts") continue
    const use = namesUsed(user).find(({ name }) => name.span.start === span.start)
    if (!use) continue
    const { text: name } = use.name
    return use.kinds.map((kind) => ({
      title: `Declare the ${kind === "told" ? "told question" : kind} \`${name}\``,
      safe: false,
      changes: [insertion(workspace, tree, user, kind, declarationOf(workspace, kind, name))],
    }))
  }
  return []
}

function insertion(
  workspace: Workspace,
  tree: Tree,
  user: Declaration,
  kind: NamedKind,
  text: string,
): { readonly span: Diagnostic["span"]; readonly text: string } {
  const { file } = tree
  const last = tree.declarations.findLast((each) => each.kind === kind)
  if (last) {
    const source = workspace.text(file)
    const line = source.indexOf("\n", last.span.end)
    const at = line < 0 ? source.length : line
    return { span: { file, start: at, end: at }, text: `\n${text}` }
  }
  const start = user.leading.find(({ ownLine }) => ownLine)?.span.start ?? user.span.start
  return { span: { file, start, end: start }, text: `${text}\n` }
}

/** As little as makes a declaration; the rest of what it needs is reported once it is there. */
function declarationOf(workspace: Workspace, kind: NamedKind, name: string): string {
  const label = name.replaceAll("_", " ")
  const first = (...kinds: readonly string[]) =>
    workspace.reading.trees
      .flatMap(({ declarations }) => declarations)
      .flatMap((each) =>
        kinds.includes(each.kind) && "name" in each && each.name ? [each.name.text] : [],
      )[0]
  switch (kind) {
    case "fault":
      return `fault ${name} "${label}" in ${first("part", "setup") ?? "place"} odds 1`
    case "told":
    case "reading":
      return `${kind} ${name} "${label}?" yes or no`
    case "test":
      return `test ${name} "${label}" reads ${first("reading") ?? "finding"} takes 1 min`
    default:
      return `${kind} ${name} "${label}"`
  }
}
