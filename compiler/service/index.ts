import type { Change, Diagnostic, Edit, Span } from "../diagnostics/diagnostic.ts"
import { type Token, tokenize } from "../syntax/lexer/lexer.ts"
import { type Completion, complete } from "./complete.ts"
import { declareMissing } from "./declare-missing.ts"
import { type Extraction, extract } from "./extract.ts"
import { format } from "./format.ts"
import { type Hint, hints } from "./hints.ts"
import { aboutRule, type Hover, hoverName, hoverWord } from "./hover.ts"
import { type Occurrence, occurrenceAt, occurrences } from "./occurrences.ts"
import { type Fold, folding, type OutlineItem, outline } from "./outline.ts"
import { type Renaming, rename, whyNoName } from "./rename.ts"
import { type SemanticToken, semanticTokens } from "./semantic-tokens.ts"
import { Workspace } from "./workspace.ts"

export type { Change, Diagnostic, Edit, Label, Severity, Span } from "../diagnostics/diagnostic.ts"
export type { Completion } from "./complete.ts"
export type { Extraction } from "./extract.ts"
export type { StyledRange, TokenStyle } from "./highlight.ts"
export type { Hint } from "./hints.ts"
export type { Hover } from "./hover.ts"
export type { Fold, OutlineItem } from "./outline.ts"
export type { Renaming } from "./rename.ts"
export type { SemanticToken } from "./semantic-tokens.ts"

/**
 * The language service: what an editor asks about a ruleset while it is written. Plain data in and out, offsets in UTF-16
 * code units; it knows no editor and no worker. In a broken text it answers as far as the text can be read.
 */
export interface Service {
  /** Replaces all files. `pictures`: the paths of those that can be named. */
  set(files: Readonly<Record<string, string>>, root: string, pictures?: readonly string[]): void
  /** The paths of the pictures that can be named from now on. */
  setPictures(paths: readonly string[]): void
  change(file: string, text: string): void
  /** From parsing and binding only; the analysis may take longer and is asked for separately. */
  diagnostics(): readonly Diagnostic[]
  complete(file: string, offset: number): readonly Completion[]
  hover(file: string, offset: number): Hover | undefined
  definition(file: string, offset: number): Span | undefined
  /** Everywhere the name occurs, its declaration first. */
  references(file: string, offset: number): readonly Span[]
  /** The name that a rename here would change, or why there is none. */
  renamed(
    file: string,
    offset: number,
  ): { readonly span: Span; readonly name: string } | { readonly refused: string }
  rename(file: string, offset: number, name: string): Renaming
  outline(file: string): readonly OutlineItem[]
  folding(file: string): readonly Fold[]
  format(file: string): readonly Change[]
  /** The text by what it means, names by what they name. */
  tokens(file: string): readonly SemanticToken[]
  hints(file: string): readonly Hint[]
  /** For a diagnostic of a name that nothing declares: declarations of it. */
  declare(diagnostic: Diagnostic): readonly Edit[]
  /** The declarations of a selection in a file of their own. */
  extract(file: string, start: number, end: number): Extraction | undefined
}

export function makeService(): Service {
  const workspace = new Workspace()
  const at = (file: string, offset: number): Occurrence | undefined =>
    occurrenceAt(occurrences(treesOf(file)), file, offset)
  const treesOf = (file: string) => workspace.reading.trees.filter((tree) => tree.file === file)
  const all = () => occurrences(workspace.reading.trees)

  return {
    set: (files, root, pictures) => workspace.set(files, root, pictures),
    setPictures(paths) {
      workspace.pictures = paths
    },
    change: (file, text) => workspace.change(file, text),
    diagnostics: () => workspace.reading.diagnostics,
    complete: (file, offset) => complete(workspace, file, offset),
    hover: (file, offset) => hover(workspace, at(file, offset), file, offset),
    definition(file, offset) {
      const used = at(file, offset)
      return used && all().find((each) => each.declares && each.name === used.name)?.span
    },
    references(file, offset) {
      const used = at(file, offset)
      if (!used) return []
      const same = all().filter((each) => each.name === used.name)
      return [...same.filter((each) => each.declares), ...same.filter((each) => !each.declares)].map(
        ({ span }) => span,
      )
    },
    renamed(file, offset) {
      const used = at(file, offset)
      const isDeclared = used && all().some((each) => each.declares && each.name === used.name)
      return isDeclared
        ? { span: used.span, name: used.name }
        : { refused: whyNoName(tokenAt(workspace.text(file), file, offset)) }
    },
    rename(file, offset, name) {
      const used = at(file, offset)
      return used
        ? rename(all(), used.name, name)
        : { refused: whyNoName(tokenAt(workspace.text(file), file, offset)) }
    },
    outline(file) {
      const tree = workspace.tree(file)
      return tree ? outline(tree) : []
    },
    folding(file) {
      const tree = workspace.tree(file)
      return tree ? folding(tree, workspace.text(file)) : []
    },
    format(file) {
      const tree = workspace.tree(file)
      return tree ? format(tree, workspace.text(file)) : []
    },
    tokens: (file) => semanticTokens(workspace, file),
    hints: (file) => hints(workspace, file),
    declare: (diagnostic) => declareMissing(workspace, diagnostic),
    extract: (file, start, end) => extract(workspace, file, start, end),
  }
}

function hover(
  workspace: Workspace,
  used: Occurrence | undefined,
  file: string,
  offset: number,
): Hover | undefined {
  const { model } = workspace
  if (used) {
    const about = model && hoverName(model, used.name)
    return about && { span: used.span, ...about }
  }
  const text = workspace.text(file)
  const token = tokenAt(text, file, offset, (each) => each.key !== "")
  if (!token) return undefined
  const span = { file, start: token.start, end: token.end }
  const declaration = workspace
    .tree(file)
    ?.declarations.find((each) => each.span.start <= offset && offset <= each.span.end)
  const rule =
    declaration?.kind === "rule" && offset <= declaration.keyword.end
      ? model?.rules.find((each) => each.span.file === file && each.span.start === declaration.span.start)
      : undefined
  if (rule && model && workspace.reading.model) return { span, ...aboutRule(model, rule) }
  const about = hoverWord(keywordOf(text, declaration?.keyword), token.key)
  return about && { span, ...about }
}

/** The token at an offset, where its line has one of that sort. */
function tokenAt(
  text: string,
  file: string,
  offset: number,
  isWanted: (token: Token) => boolean = () => true,
): Token | undefined {
  const from = text.lastIndexOf("\n", offset - 1) + 1
  const to = text.indexOf("\n", offset)
  const { tokens } = tokenize(file, text.slice(from, to < 0 ? text.length : to))
  const [start, end] = [(token: Token) => from + token.start, (token: Token) => from + token.end]
  const found = tokens.find((each) => start(each) <= offset && offset <= end(each) && isWanted(each))
  return found && { ...found, start: start(found), end: end(found) }
}

function keywordOf(text: string, keyword: Span | undefined): string | undefined {
  return keyword && text.slice(keyword.start, keyword.end)
}
