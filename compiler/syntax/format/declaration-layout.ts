import { at } from "../../run/lookup.ts"
import { DECLARATIONS } from "../language/statements.ts"
import type { Declaration, Text } from "../syntax-tree.ts"
import { type Atom, conditionOf, textOf } from "./atoms.ts"
import { clauseLayouts } from "./clause-layouts.ts"
import type { DeclarationLayout } from "./layout.ts"

/** What the printer lays out: the head of a declaration and its clauses, in the order in which they were written. */
export function layoutOf(declaration: Declaration): DeclarationLayout {
  const clauses = clauseLayouts(declaration)
  const isWritten = clauses.every((clause) => at(clause.atoms, 0).at >= 0)
  // Of a tree that was built and not read, the order of the reference stands.
  if (isWritten) clauses.sort((a, b) => at(a.atoms, 0).at - at(b.atoms, 0).at)
  const hasColumns = declaration.kind !== "rule" && declaration.kind !== "never"
  return { head: headOf(declaration), clauses, comments: declaration.inner, hasColumns }
}

/** Keyword, name and text each on its own, so that they can stand in columns. */
function headOf(d: Declaration): Atom[] {
  const at = d.keyword.start
  if (d.kind === "rule" || d.kind === "never") {
    const rule = d.kind === "rule" && d.name !== undefined ? `rule ${d.name.text}: when` : "when"
    const words = d.kind === "never" ? "never" : rule
    return d.condition === undefined
      ? [{ text: words, at }]
      : startAt(at, conditionOf(d.condition, `${words} `))
  }
  const name = d.kind === "texts" ? d.tag?.text : "name" in d ? d.name?.text : undefined
  const text = textIn(d)
  const cells = [d.kind, name, text && textOf(text)].filter((cell) => cell !== undefined)
  return cells.map((cell) => ({ text: cell, at }))
}

/** The head begins at its keyword, not at the condition after it. */
function startAt(at: number, [first, ...others]: Atom[]): Atom[] {
  return first === undefined ? [] : [{ text: first.text, at }, ...others]
}

function textIn(d: Declaration): Text | undefined {
  if (d.kind === "use") return d.path
  if (d.kind === "proof" || d.kind === "scenario") return d.text
  const field = DECLARATIONS.find((spec) => spec.kind === d.kind)?.text
  return field === undefined ? undefined : (d as unknown as Record<string, Text | undefined>)[field]
}
