import type { Span } from "../diagnostics/diagnostic.ts"
import { Lines } from "../diagnostics/line-index.ts"
import { at } from "../run/lookup.ts"
import type { Declaration, Tree } from "../syntax/syntax-tree.ts"

/** One line of the outline: a declaration, by name and label. */
export interface OutlineItem {
  readonly kind: Declaration["kind"]
  readonly name: string
  readonly detail: string
  readonly span: Span
  /** What is selected when it is chosen. */
  readonly focus: Span
}

export function outline(tree: Tree): OutlineItem[] {
  return tree.declarations.map((declaration) => {
    const { kind, span, keyword } = declaration
    const name = "name" in declaration ? declaration.name : undefined
    return {
      kind,
      name: name?.text ?? kind,
      detail: labelOf(declaration),
      span,
      focus: name?.span ?? keyword,
    }
  })
}

export function labelOf(declaration: Declaration): string {
  switch (declaration.kind) {
    case "ruleset":
      return declaration.title?.value ?? ""
    case "use":
      return declaration.path?.value ?? ""
    case "part":
    case "setup":
    case "fault":
      return declaration.label?.value ?? ""
    case "complaint":
    case "proof":
    case "scenario":
      return declaration.text?.value ?? ""
    case "told":
    case "reading":
      return declaration.question?.value ?? ""
    case "test":
      return declaration.instruction?.value ?? ""
    case "rule":
      return declaration.because?.value ?? ""
    case "texts":
      return declaration.tag?.text ?? ""
    case "never":
      return ""
  }
}

/** Stretches that can be folded: declarations over several lines, and runs of comment lines. Lines count from 0. */
export interface Fold {
  readonly first: number
  readonly last: number
  readonly comment: boolean
}

export function folding(tree: Tree, text: string): Fold[] {
  const lines = new Lines(text)
  const lineAt = (offset: number) => lines.at(offset).line - 1
  const folds: Fold[] = []
  for (const { span, leading } of tree.declarations) {
    const comments = leading.map((comment) => lineAt(comment.span.start))
    if (comments.length > 1)
      folds.push({ first: at(comments, 0), last: at(comments, comments.length - 1), comment: true })
    const fold = { first: lineAt(span.start), last: lineAt(span.end), comment: false }
    if (fold.last > fold.first) folds.push(fold)
  }
  return folds
}
