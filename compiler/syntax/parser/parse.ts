import { type Diagnostic, diagnostic, inOrder, type Span } from "../../diagnostics/diagnostic.ts"
import { at } from "../../run/lookup.ts"
import { grouped } from "../../wording/figures.ts"
import type { SyntaxCode } from "../codes.ts"
import { DECLARATIONS } from "../language/statements.ts"
import { MOST_PROBLEMS } from "../lexer/character-problems.ts"
import { lex, type Token } from "../lexer/lexer.ts"
import { DeclarationProblems, quoteToken } from "../recovery/declaration-problems.ts"
import { withTriedEdits } from "../recovery/tried-edits.ts"
import type { Comment, Declaration, Tree } from "../syntax-tree.ts"
import { type AttachedComments, placeComments } from "./attach-comments.ts"
import type { Bare, Draft } from "./clauses.ts"
import { promoteContextualWords } from "./contextual-words.ts"
import { type Grammar, makeGrammar } from "./grammar.ts"
import { splitDeclarations } from "./split-declarations.ts"

/** Characters of one file: some 80,000 lines. Beyond this a file is no ruleset, and reading it would only take time. */
export const LONGEST_FILE = 4_000_000

/** Characters of one text, name or number: a page. What runs a graph takes no longer text either. */
const LONGEST_TOKEN = 10_000

/** Tokens of a declaration's keyword, name and text: all that is read of one after the last problem that is listed. */
const HEAD = 3

/** Made when first needed: the library studies the grammar, which takes longer than a small file. */
let grammar: Grammar | undefined

const SPECS = new Map(DECLARATIONS.map((spec) => [spec.keyword, spec]))

/**
 * Reads the text of one file. It never fails: what cannot be read is in `diagnostics`, in the order of the text, and the
 * tree holds all that could be. Time is linear in the length of the text.
 */
export function parse(file: string, text: string): { tree: Tree; diagnostics: Diagnostic[] } {
  if (text.length > LONGEST_FILE) return tooLong(file, text)
  const { tree, diagnostics, starts } = read(file, text)
  const tried = withTriedEdits(text, diagnostics, starts, (own) => read(file, own).diagnostics)
  return { tree, diagnostics: tried }
}

/** `starts`: where the declarations begin. */
function read(
  file: string,
  text: string,
): { tree: Tree; diagnostics: Diagnostic[]; starts: readonly number[] } {
  grammar ??= makeGrammar()
  const { tokens, comments, problems: characters } = lex(file, text)
  const diagnostics = characters.diagnostics
  diagnostics.push(...tokens.filter(isTooLong).map((token) => tooLongToken(file, token)))
  const { first, stretches } = splitDeclarations(tokens)
  let whole = !characters.isDamaged && first === 0

  const outside = tokens.slice(0, first).find((token) => token.kind !== "garbage")
  if (outside !== undefined) diagnostics.push(outsideAll(file, outside, at(tokens, first - 1)))

  const places = stretches.map(({ start, end }) => ({
    start: at(tokens, start).start,
    end: at(tokens, end - 1).end,
  }))
  const { around, trailing } = placeComments(file, text, comments, places)
  const declarations: Declaration[] = []
  const misdeclared: string[] = []
  for (const [i, stretch] of stretches.entries()) {
    const keyword = stretch.meant ?? at(tokens, stretch.start).key
    const spec = SPECS.get(keyword)
    const span = { file, ...at(places, i) }
    if (spec === undefined) {
      diagnostics.push(unknownDeclaration(file, at(tokens, stretch.start)))
      misdeclared.push(at(tokens, stretch.start + 1).text)
      whole = false
      continue
    }
    if (diagnostics.length > MOST_PROBLEMS) {
      const unsaid = new DeclarationProblems(file, [], spec, at(tokens, stretch.start))
      const head = grammar.read(
        tokens.slice(stretch.start, Math.min(stretch.start + HEAD, stretch.end)),
        unsaid,
      )
      declarations.push(complete(head, unsaid.keyword, span, at(around, i), false))
      whole = false
      continue
    }
    const problems = new DeclarationProblems(file, diagnostics, spec, at(tokens, stretch.start))
    const own = tokens.slice(stretch.start, stretch.end)
    // What can't be read may have been a clause; reading takes it as part of something else.
    const isSound = own.every(({ kind }) => kind !== "garbage")
    promoteContextualWords(own, spec.clauses)
    const bare = grammar.read(own, problems)
    whole &&= problems.isWhole && !problems.isCorrected
    declarations.push(complete(bare, problems.keyword, span, at(around, i), problems.isWhole && isSound))
  }
  const tree = { file, declarations, trailing, whole, ...(misdeclared.length > 0 && { misdeclared }) }
  const starts = places.map(({ start }) => start)
  return { tree, diagnostics: atMost(MOST_PROBLEMS, inOrder(diagnostics)), starts }
}

/** Puts in what all declarations have; one by one: copying each declaration took a fifth of all the time. */
function complete(
  bare: Bare,
  keyword: Span,
  span: Span,
  around: AttachedComments,
  whole: boolean,
): Declaration {
  const draft = bare as Draft<Declaration>
  draft.keyword = keyword
  draft.span = span
  draft.leading = around.leading as Comment[]
  draft.inner = around.inner as Comment[]
  draft.blankBefore = around.blankBefore
  if (around.detached) draft.detached = true
  draft.whole = whole
  return draft as Declaration
}

/** Whether the whole text is in the tree as it was typed: only then may the printer's text take its place. */
export function isWhole(tree: Tree): boolean {
  return tree.whole !== false && tree.declarations.every((declaration) => declaration.whole)
}

function unknownDeclaration(file: string, token: Token): Diagnostic {
  const span = { file, start: token.start, end: token.end }
  const message = `${quoteToken(token)} doesn't begin a declaration.`
  return diagnostic("error", "outside-declaration" satisfies SyntaxCode, span, message, {
    help: declarationsHelp(),
  })
}

function declarationsHelp(): string {
  return `A declaration begins with ${DECLARATIONS.map((spec) => `\`${spec.keyword}\``).join(", ")}.`
}

function outsideAll(file: string, first: Token, last: Token): Diagnostic {
  const span = { file, start: first.start, end: Math.max(last.end, first.end) }
  return diagnostic(
    "error",
    "outside-declaration" satisfies SyntaxCode,
    span,
    `${quoteToken(first)} comes before any declaration.`,
    {
      help: declarationsHelp(),
    },
  )
}

function isTooLong({ kind, start, end }: Token): boolean {
  return kind !== "garbage" && end - start > LONGEST_TOKEN
}

function tooLongToken(file: string, { start, end }: Token): Diagnostic {
  const message = `This is ${grouped(end - start)} characters long; a text, a name or a number may have ${grouped(LONGEST_TOKEN)}.`
  const help = "Is there a quote missing? If not, shorten it."
  return diagnostic("error", "too-long" satisfies SyntaxCode, { file, start, end: start + 1 }, message, {
    help,
  })
}

function tooLong(file: string, text: string): { tree: Tree; diagnostics: Diagnostic[] } {
  const size = `${grouped(text.length)} characters`
  const message = `The file has ${size}; a ruleset file has at most ${grouped(LONGEST_FILE)}, so it was not read.`
  const help = "Is it a ruleset? If so, divide it and bring the pieces together with `use`."
  const diagnostics = [
    diagnostic("error", "too-long" satisfies SyntaxCode, { file, start: 0, end: 0 }, message, { help }),
  ]
  return { tree: { file, declarations: [], trailing: [], whole: false }, diagnostics }
}

/** The first `limit` diagnostics, and one more that says so if there were others. */
function atMost(limit: number, diagnostics: Diagnostic[]): Diagnostic[] {
  const next = diagnostics[limit]
  if (next === undefined) return diagnostics
  const message = `More than ${limit} problems; the rest is not listed.`
  const help = "Fix the first ones, then check again."
  return [
    ...diagnostics.slice(0, limit),
    diagnostic("error", "too-many-findings" satisfies SyntaxCode, next.span, message, { help }),
  ]
}
