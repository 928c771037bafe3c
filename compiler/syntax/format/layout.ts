import { displayWidth } from "../../diagnostics/display-width.ts"
import { at, last } from "../../run/lookup.ts"
import type { Comment } from "../syntax-tree.ts"
import type { Atom } from "./atoms.ts"

/** Columns of a line; only a text or a name that is longer by itself goes beyond. */
export const WIDTH = 100
export const INDENT = "  "
/** What goes on from the line above within one clause. */
const HANGING = "    "

/** A clause. `line`: beside the head where there is room; `below`: on a line under it; `own`: alone on such a line. */
export interface ClauseLayout {
  /** Clauses of like declarations with the same column stand under each other. */
  readonly column: string
  readonly atoms: readonly Atom[]
  readonly place: "line" | "below" | "own"
}

export interface DeclarationLayout {
  readonly head: readonly Atom[]
  readonly clauses: readonly ClauseLayout[]
  readonly comments: readonly Comment[]
  /** The words of the head, and the clauses beside it, may stand in columns with those of like declarations. */
  readonly hasColumns: boolean
}

/** Clauses that stand beside the head. */
export function clausesBesideHead(layout: DeclarationLayout): readonly ClauseLayout[] {
  const end = layout.clauses.findIndex((clause) => clause.place !== "line")
  return end < 0 ? layout.clauses : layout.clauses.slice(0, end)
}

export function wordsOf(atoms: readonly Atom[]): string {
  return atoms.map((atom) => atom.text).join(" ")
}

export function firstLine(layout: DeclarationLayout): string {
  return [wordsOf(layout.head), ...clausesBesideHead(layout).map((clause) => wordsOf(clause.atoms))].join(
    INDENT,
  )
}

/** A comment stands somewhere before the end of the first line, so that it has to end there. */
export function isBroken(layout: DeclarationLayout): boolean {
  const beside = clausesBesideHead(layout)
  const final = beside.at(-1)?.atoms.at(-1) ?? last(layout.head)
  return layout.comments.some((comment) => comment.span.start < final.at)
}

/** How a declaration's first line reads, and how many of its clauses are on it. */
export interface FirstLine {
  readonly text: string
  readonly clauses: number
}

/**
 * The lines of one declaration. `aligned`: its first line where it has been aligned with others; else it stands on one
 * line if it fits, and if not, its clauses stand below its head.
 */
export function writeDeclaration(layout: DeclarationLayout, aligned: FirstLine | undefined): string[] {
  const plain = firstLine(layout)
  const fits = displayWidth(plain) <= WIDTH && !isBroken(layout)
  const first = aligned ?? (fits ? { text: plain, clauses: clausesBesideHead(layout).length } : undefined)
  const writer = new Writer(layout.comments)
  if (first === undefined) writer.piece(layout.head)
  else writer.ready(first.text)
  writer.breakLine()
  for (const clause of layout.clauses.slice(first?.clauses ?? 0)) {
    if (clause.place === "own") writer.breakLine()
    writer.piece(clause.atoms)
    if (clause.place === "own") writer.breakLine()
  }
  return writer.finish()
}

/** Fills lines, and puts each comment after what it followed in the source. */
class Writer {
  readonly #lines: string[] = []
  readonly #comments: readonly Comment[]
  #line = ""
  #broken = false
  #written = 0

  constructor(comments: readonly Comment[]) {
    this.#comments = comments
  }

  ready(line: string): void {
    this.#line = line
  }

  /** What comes next stands on a new line. */
  breakLine(): void {
    this.#broken = true
  }

  /** A clause stands on one line if one can hold it; what is longer goes on in hanging lines. */
  piece(atoms: readonly Atom[]): void {
    const width = displayWidth(this.#line + INDENT + wordsOf(atoms))
    for (const [i, { text, at }] of atoms.entries()) {
      const indent = i === 0 ? INDENT : HANGING
      this.#flush(at, indent)
      const joint = i === 0 ? INDENT : " "
      const isFull = i === 0 ? width > WIDTH : displayWidth(this.#line + joint + text) > WIDTH
      if (this.#line === "" && this.#lines.length === 0) this.#line = text
      else if (this.#broken || isFull) this.#start(indent + text)
      else this.#line += joint + text
    }
  }

  finish(): string[] {
    this.#flush(Number.POSITIVE_INFINITY, INDENT)
    return [...this.#lines, this.#line]
  }

  #start(line: string): void {
    this.#lines.push(this.#line)
    this.#line = line
    this.#broken = false
  }

  /** Comments that stood before the offset: one at the end of the line if it stood so, others on their own lines. */
  #flush(before: number, indent: string): void {
    let isFirst = true
    while (this.#written < this.#comments.length && at(this.#comments, this.#written).span.start < before) {
      const { text, ownLine } = at(this.#comments, this.#written++)
      if (isFirst && !ownLine) this.#line += INDENT + text
      else this.#start(indent + text)
      isFirst = false
      this.#broken = true
    }
  }
}
