import {
  type Clauses,
  type Draft,
  FAULT,
  NONE,
  PART,
  PROOF,
  READING,
  RULESET,
  readClauses,
  SETUP,
  TEST,
  TOLD,
} from "./clauses.ts"
import { readCondition } from "./conditions.ts"
import { GIVE_UP } from "./cursor.ts"
import { readRule } from "./rules.ts"
import type { Terms } from "./terms.ts"
import type { Declaration, Name, NeverDecl, ReadingDecl, Text } from "./tree.ts"

/** A declaration as read, before its comments are known. */
export type Bare<D extends Declaration = Declaration> = D extends Declaration
  ? Omit<D, "keyword" | "span" | "leading" | "inner" | "blankBefore" | "detached" | "whole">
  : never

/** What the text behind the name is called, by keyword. */
const TEXTS: Record<string, string> = {
  ruleset: "title",
  complaint: "text",
  told: "question",
  reading: "question",
  test: "instruction",
}

/** Reads one declaration, from behind its keyword to the end of its tokens. */
export function readDeclaration(c: Terms): Bare {
  switch (c.spec.keyword) {
    case "ruleset":
      return readNamed(c, RULESET, { kind: "ruleset" }, "title")
    case "use":
      return readTold(c, NONE, { kind: "use" }, "path")
    case "part":
      return readNamed(c, PART, { kind: "part", behind: [] }, "label")
    case "setup":
      return readNamed(c, SETUP, { kind: "setup", behind: [] }, "label")
    case "complaint":
      return readNamed(c, NONE, { kind: "complaint" }, "text")
    case "fault":
      return readNamed(c, FAULT, { kind: "fault", shows: [] }, "label")
    case "told":
      return withType(c, readNamed(c, TOLD, { kind: "told" }, "question"))
    case "reading":
      return withType(c, readNamed(c, READING, { kind: "reading" }, "question"))
    case "test": {
      const lists = { kinds: [], reads: [], redoes: [], risks: [], needs: [], after: [], cautions: [] }
      return readNamed(c, TEST, { kind: "test", ...lists }, "instruction")
    }
    case "never":
      return readNever(c)
    case "proof":
      return readTold(c, PROOF, { kind: "proof", places: [] }, "text")
    default:
      return readRule(c, c.spec.keyword === "rule")
  }
}

/** A declaration to write into; which field holds its text is known by name alone. */
type Fields = { name?: Name; [field: string]: unknown }

/** Keyword, name, text, and then clauses in any order. */
function readNamed<D extends Bare>(c: Terms, clauses: Clauses<never>, draft: D, field: string): D {
  c.clauseWords = clauses.words
  const into = draft as Fields
  const name = readHeadName(c)
  if (name !== undefined) into.name = name
  if (name !== undefined || c.token.kind === "text") {
    const text = readHeadText(c, TEXTS[c.spec.keyword] ?? "label", name !== undefined)
    if (text !== undefined) into[field] = text
  }
  readClauses(c, clauses as Clauses<D>, draft)
  return draft
}

/** Keyword, text, and then clauses in any order. */
function readTold<D extends Bare>(c: Terms, clauses: Clauses<never>, draft: D, field: string): D {
  c.clauseWords = clauses.words
  const what = field === "path" ? "a path in quotes" : "a text in quotes"
  if (c.token.kind === "text") (draft as Fields)[field] = c.text(what, c.spec.example)
  else {
    c.complain(what, c.spec.example)
    c.skipTo(clauses.words)
  }
  readClauses(c, clauses as Clauses<D>, draft)
  return draft
}

function withType<D extends Bare<ReadingDecl>>(c: Terms, draft: D): D {
  if (draft.type !== undefined || !c.whole) return draft
  c.whole = false
  const what = draft.kind === "told" ? "question" : "reading"
  c.report("incomplete", c.spanOf(c.keywordToken), `This ${what} has no type.`, {
    help: "Behind the question stands `yes or no`, `one of a, b, c`, or `in UNIT from N to N`.",
  })
  return draft
}

function readHeadName(c: Terms): Name | undefined {
  const { token } = c
  if (token.kind === "text") {
    if (c.ahead(1).kind !== "text") {
      c.complain(`the name of the ${c.called}`, c.spec.example)
      return undefined
    }
    c.take()
    c.mend("bad-name", c.spanOf(token), "A name stands without quotes.", "Take the quotes away", token.text)
    return { text: token.text, span: c.spanOf(token) }
  }
  try {
    return c.name(`the name of the ${c.called}`, c.spec.example)
  } catch (thrown) {
    if (thrown !== GIVE_UP) throw thrown
    return undefined
  }
}

function readHeadText(c: Terms, what: string, named: boolean): Text | undefined {
  if (c.token.kind === "text") return c.text(`a ${what}`, c.spec.example)
  if (!named) return undefined
  const { start, kind, key, first } = c.token
  if (kind === "end" || kind === "garbage" || first || c.clauseWords.includes(key)) {
    c.complain(`the ${what}`, c.spec.example)
    return undefined
  }
  // Bare words where the label stands: quotes were forgotten.
  while (!c.done && !c.clauseWords.includes(c.token.key) && !c.token.first) c.take()
  c.unquoted(c.span(start), what)
  return undefined
}

function readNever(c: Terms): Bare<NeverDecl> {
  const draft: Draft<Bare<NeverDecl>> = { kind: "never" }
  try {
    draft.condition = readCondition(c, false)
  } catch (thrown) {
    if (thrown !== GIVE_UP) throw thrown
    c.whole = false
    c.skipTo([])
  }
  readClauses(c, NONE, draft as never)
  return draft
}
