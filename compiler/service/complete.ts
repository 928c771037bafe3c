import type { Span } from "../diagnostics/diagnostic.ts"
import { folderOf } from "../model/relative-paths.ts"
import type { Kind } from "../model/symbol-table.ts"
import { at } from "../run/lookup.ts"
import { excludes } from "../syntax/language/clause-starts.ts"
import { COMPARISONS, comparisonsOf } from "../syntax/language/comparisons.ts"
import type { DeclarationSpec } from "../syntax/language/declaration-specs.ts"
import { leastForm, leastOf } from "../syntax/language/forms.ts"
import { DECLARATIONS } from "../syntax/language/statements.ts"
import { type Token, tokenize } from "../syntax/lexer/lexer.ts"
import type { ReadingDecl } from "../syntax/syntax-tree.ts"
import { declarations, type Expected } from "./completion-grammar.ts"
import { startOfDeclaration } from "./declaration-at.ts"
import { type Occurrence, occurrences } from "./occurrences.ts"
import { labelOf } from "./outline.ts"
import { unitsLike } from "./units.ts"
import type { Workspace } from "./workspace.ts"

/** One thing that can be typed at the caret. */
export interface Completion {
  readonly label: string
  readonly kind: Kind | "declaration" | "clause" | "word" | "value" | "unit" | "file"
  /** Shown beside it: the label of a name, the form of a clause. */
  readonly detail: string
  readonly says?: string
  /** Text to insert; `${1:…}` are places to fill in. */
  readonly insert: string
  readonly span: Span
  /** Best first. */
  readonly rank: number
}

/** Offered for a new reading. */
const USUAL_UNITS =
  "V mV A mA W ohm kohm uF Ah Wh degC degF Hz s ms min rpm % dB dBm bar psi barg L L/min mm inch deg km/h count".split(
    " ",
  )

/** Everything that can come at this place, and nothing else: names by kind, units and values of the reading in question. */
export function complete(workspace: Workspace, file: string, offset: number): Completion[] {
  const text = workspace.text(file)
  const start = startOfDeclaration(text, offset)
  const typed = text.slice(start, offset)
  const { tokens, comments } = tokenize(file, typed)
  const local = offset - start
  if (comments.some((comment) => !typed.slice(comment.start).includes("\n"))) return []
  const last = tokens[tokens.length - 1]
  if (last?.kind === "garbage" && last.text.startsWith('"'))
    return pathCompletions(workspace, file, tokens, start + last.start, offset)
  const typing = last !== undefined && last.end === local && last.kind === "word" ? last : undefined
  const before = typing ? tokens.slice(0, -1) : tokens
  const span = { file, start: typing ? start + typing.start : offset, end: endOfWord(text, offset) }
  const lineStart = text.slice(text.lastIndexOf("\n", span.start - 1) + 1, span.start).trim() === ""

  const { expected, complete: isWhole } = expectedAfter(before)
  const completions = new CompletionList(workspace, span, before)
  for (const each of expected) completions.add(each)
  if (isWhole || lineStart || before.length === 0)
    completions.declarations(rankOfDeclarations(text, span.start, lineStart))
  return completions.list
}

/** Where a line isn't indented, a declaration is likelier than another clause of the one above. */
function rankOfDeclarations(text: string, start: number, lineStart: boolean): number {
  if (!lineStart) return 6
  return start === 0 || text[start - 1] === "\n" ? 1.5 : 3
}

function endOfWord(text: string, offset: number): number {
  const rest = /^[\p{L}\p{N}_°]*/u.exec(text.slice(offset, offset + 80))
  return offset + (rest?.[0].length ?? 0)
}

/** Matches the tokens against the grammar; if they don't match, tries again from the last clause that begins well. */
export function expectedAfter(tokens: readonly Token[]): { expected: Expected[]; complete: boolean } {
  const found = declarations.get(tokens[0]?.key ?? "")
  if (!found) return { expected: [], complete: tokens.length === 0 }
  const run = (list: readonly Token[]) => {
    const expected: Expected[] = []
    const ends = found.pattern(list, 0, (each) => expected.push(each))
    return { expected, complete: ends.includes(list.length) }
  }
  const result = run(tokens)
  if (result.expected.length > 0 || result.complete) return result
  const head = headOf(tokens)
  const openings = new Set(found.spec.clauses.map((clause) => clause.words.split(" ")[0]))
  for (let start = tokens.length - 1; start >= head.length; start--) {
    if (!openings.has(tokens[start]?.key)) continue
    const again = run([...head, ...tokens.slice(start)])
    if (again.expected.length > 0 || again.complete) return again
  }
  return result
}

/** The tokens up to the first clause, as a whole head would have them. */
function headOf(tokens: readonly Token[]): Token[] {
  const first = tokens.findIndex((token) => token.kind === "text")
  return tokens.slice(0, first < 0 ? 1 : first + 1)
}

/** Inside an unfinished text: only the path of a `use` or a `picture` can be known. */
function pathCompletions(
  workspace: Workspace,
  file: string,
  tokens: readonly Token[],
  start: number,
  offset: number,
): Completion[] {
  const isPicture = tokens.at(-2)?.text === "picture"
  if (!isPicture && tokens[0]?.key !== "use") return []
  const folder = folderOf(file)
  return (isPicture ? workspace.pictures : workspace.files)
    .filter((path) => path !== file && path.startsWith(folder))
    .map((path) => path.slice(folder.length))
    .map((path) => ({
      label: path,
      kind: "file",
      detail: "",
      insert: path,
      span: { file, start: start + 1, end: offset },
      rank: 1,
    }))
}

class CompletionList {
  readonly list: Completion[] = []
  readonly #span: Span
  readonly #before: readonly Token[]
  readonly #names: readonly Occurrence[]

  constructor(workspace: Workspace, span: Span, before: readonly Token[]) {
    this.#span = span
    this.#before = before
    this.#names = occurrences(workspace.reading.trees).filter((each) => each.declares)
  }

  add(expected: Expected): void {
    switch (expected.what) {
      case "name":
        for (const kind of expected.kinds) this.#addNames(kind)
        break
      case "clause":
        this.#addClause(expected.declaration, expected.words)
        break
      case "word":
        if (/^[a-z]/.test(expected.words)) this.#push(expected.words, "word", "", `${expected.words} `, 2)
        break
      case "comparison":
        this.#addComparisons()
        break
      case "value":
        for (const value of this.#values())
          this.#push(value, "value", `${this.#reading()?.name?.text}`, value, 1)
        break
      case "input":
        for (const name of this.#inputs()) this.#push(name, "value", "", name, 1)
        break
      case "unit":
        for (const [i, unit] of this.#units().entries()) this.#push(unit, "unit", "", unit, 1 + i / 100)
        break
      case "new-unit":
        for (const unit of USUAL_UNITS) this.#push(unit, "unit", "", unit, 1)
        break
    }
  }

  declarations(rank: number): void {
    for (const [i, spec] of DECLARATIONS.entries()) {
      if (spec.kind === "ruleset" && this.#names.some((each) => each.declaration.kind === "ruleset")) continue
      if (spec.kind === "complaint" && this.#names.some((each) => each.declaration.kind === "complaint"))
        continue
      this.#push(
        spec.keyword,
        "declaration",
        spec.head,
        snippetOfDeclaration(spec),
        rank + i / 100,
        spec.says,
      )
    }
  }

  #push(
    label: string,
    kind: Completion["kind"],
    detail: string,
    insert: string,
    rank: number,
    says?: string,
  ): void {
    if (this.list.some((each) => each.label === label && each.kind === kind)) return
    this.list.push({
      label,
      kind,
      detail,
      insert,
      span: this.#span,
      rank,
      ...(says === undefined ? {} : { says }),
    })
  }

  #addNames(kind: Kind): void {
    const swapping = this.#before.at(-1)?.key === "swaps"
    for (const { name, declaration } of this.#names) {
      if (declaration.kind !== kind) continue
      const spare = declaration.kind === "part" && declaration.spare !== undefined
      this.#push(name, kind, labelOf(declaration), name, swapping && !spare ? 1.5 : 1)
    }
  }

  #addClause(spec: DeclarationSpec, words: string): void {
    const clause = spec.clauses.find((each) => each.words === words)
    if (clause === undefined) return
    const has = (phrase: string) =>
      this.#before.some((token, i) => startsWith(this.#before, i, phrase) && token.kind === "word")
    if (spec.clauses.some((each) => has(each.words) && excludes(each, clause))) return
    const isNeeded = clause.group !== undefined || clause.required
    this.#push(words, "clause", clause.form, snippetOf(clause.form), isNeeded ? 2 : 2.5, clause.says)
  }

  #addComparisons(): void {
    const type = this.#reading()?.type?.kind
    const phrases =
      type === undefined
        ? Object.keys(COMPARISONS)
        : comparisonsOf(type === "quantity" ? "numbers" : "values")
    for (const phrase of phrases) this.#push(phrase, "word", "", `${phrase} `, 1)
  }

  /** The reading whose comparison is being written: the last name of one before the caret. */
  #reading(): ReadingDecl | undefined {
    for (let i = this.#before.length - 1; i >= 0; i--) {
      const text = at(this.#before, i).text
      const found = this.#names.find((each) => each.name === text)?.declaration
      if (found?.kind === "reading" || found?.kind === "told") return found
    }
    // `normally` speaks of the reading that is being declared, which the broken text may not declare yet.
    const own = this.#names.find((each) => each.name === this.#before[1]?.text)?.declaration
    return own?.kind === "reading" || own?.kind === "told" ? own : undefined
  }

  /** Of the reading that is being declared: words with a text after them, once `takes` has come. */
  #inputs(): readonly string[] {
    const from = this.#before.findIndex(({ key }) => key === "takes")
    return this.#before.flatMap(({ text, kind }, i) =>
      from >= 0 && i > from && kind === "word" && this.#before[i + 1]?.kind === "text" ? [text] : [],
    )
  }

  #values(): readonly string[] {
    const type = this.#reading()?.type
    if (type?.kind === "yes or no") return ["yes", "no"]
    return type?.kind === "one of" ? type.values.map((value) => value.text) : []
  }

  #units(): readonly string[] {
    const type = this.#reading()?.type
    return type?.kind === "quantity" && type.unit ? unitsLike(type.unit.text) : []
  }
}

/** Words that can be names have no key before they are parsed. */
function startsWith(tokens: readonly Token[], at: number, phrase: string): boolean {
  return phrase.split(" ").every((word, i) => (tokens[at + i]?.key || tokens[at + i]?.text) === word)
}

/** `takes N min` as `takes ${1:4} min`: what is optional is left out, what is to be written becomes a place to fill. */
export function snippetOf(form: string): string {
  let place = 0
  return leastOf(form).replace(/"([^"]*)"|\b[A-Z]+\b|\bN\b/g, (word, inside: string | undefined) => {
    place += 1
    return inside === undefined ? `\${${place}:${word.toLowerCase()}}` : `"\${${place}:${inside}}"`
  })
}

function snippetOfDeclaration(spec: DeclarationSpec): string {
  return snippetOf(leastForm(spec.keyword))
}
