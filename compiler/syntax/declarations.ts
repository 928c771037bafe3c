import {
  type Clause,
  type Draft,
  FAULT,
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
import { DECLARATIONS } from "./language.ts"
import { readRule } from "./rules.ts"
import type { Terms } from "./terms.ts"
import type { Declaration, Name, Text } from "./tree.ts"

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
export function readDeclaration(c: Terms, keyword: string): Bare {
  switch (keyword) {
    case "ruleset":
      return readWith(c, RULESET, () => ({ kind: "ruleset", ...readHead(c, keyword, "title") }))
    case "use":
      return readWith(c, {}, () => ({ kind: "use", ...readPath(c, "path", 'use "shared/supply.ruleout"') }))
    case "part":
      return readWith(c, PART, () => ({ kind: "part", ...readHead(c, keyword, "label"), behind: [] }))
    case "setup":
      return readWith(c, SETUP, () => ({ kind: "setup", ...readHead(c, keyword, "label"), behind: [] }))
    case "complaint":
      return readWith(c, {}, () => ({ kind: "complaint", ...readHead(c, keyword, "text") }))
    case "fault":
      return readWith(c, FAULT, () => ({ kind: "fault", ...readHead(c, keyword, "label"), shows: [] }))
    case "told":
      return readQuestion(c, "told", TOLD)
    case "reading":
      return readQuestion(c, "reading", READING)
    case "test":
      return readWith(c, TEST, () => ({
        kind: "test",
        ...readHead(c, keyword, "instruction"),
        ...{ kinds: [], reads: [], redoes: [], risks: [], needs: [], after: [], cautions: [] },
      }))
    case "never":
      return readWith(c, {}, () => ({ kind: "never", ...readNever(c) }))
    case "proof":
      return readWith(c, PROOF, () => ({
        kind: "proof",
        ...readPath(c, "text", 'proof "Power it up cold"'),
        places: [],
      }))
    default:
      return readRule(c, keyword === "rule")
  }
}

function readWith<D extends Bare>(
  c: Terms,
  clauses: Readonly<Record<string, Clause<never>>>,
  head: () => D,
): D {
  c.clauseWords = Object.keys(clauses)
  const draft = head()
  // The second of two clauses is read too, for its own mistakes, into a copy that nobody sees.
  readClauses(c, clauses as Readonly<Record<string, Clause<D>>>, draft, () => structuredClone(draft))
  return draft
}

function readQuestion(c: Terms, kind: "told" | "reading", clauses: typeof TOLD): Bare {
  const draft: Draft<Bare & { kind: "told" | "reading" }> = readWith(c, clauses, () => ({
    kind,
    ...readHead(c, kind, "question"),
  }))
  if (draft.type === undefined && c.whole) {
    c.whole = false
    c.report(
      "incomplete",
      c.spanOf(c.keywordToken),
      `This ${kind === "told" ? "question" : "reading"} has no type.`,
      {
        help: "Behind the question stands `yes or no`, `one of a, b, c`, or `in UNIT from N to N`.",
      },
    )
  }
  return draft
}

/** Name and text, of which either may be missing; only the first that is missing is reported. */
function readHead<K extends string>(
  c: Terms,
  keyword: string,
  field: K,
): { name?: Name } & { [F in K]?: Text } {
  const example = DECLARATIONS.find((spec) => spec.keyword === keyword)!.example
  const named = readHeadName(c, example)
  if (named === undefined && c.token.kind !== "text") return {}
  const text = readHeadText(c, TEXTS[keyword] ?? "label", example, named !== undefined)
  return { ...(named && { name: named }), ...(text && { [field]: text }) } as { name?: Name } & {
    [F in K]?: Text
  }
}

function readHeadName(c: Terms, example: string): Name | undefined {
  const { token } = c
  if (token.kind === "text") {
    if (c.ahead(1).kind !== "text") {
      c.complain(`the name of the ${c.called}`, example)
      return undefined
    }
    c.take()
    c.mend("bad-name", c.spanOf(token), "A name stands without quotes.", "Take the quotes away", token.text)
    return { text: token.text, span: c.spanOf(token) }
  }
  try {
    return c.name(`the name of the ${c.called}`, example)
  } catch (thrown) {
    if (thrown !== GIVE_UP) throw thrown
    return undefined
  }
}

function readHeadText(c: Terms, what: string, example: string, named: boolean): Text | undefined {
  if (c.token.kind === "text") return c.text(`a ${what}`, example)
  if (!named) return undefined
  const { start, kind, key, first } = c.token
  if (kind === "end" || kind === "garbage" || first || c.clauseWords.includes(key)) {
    c.complain(`the ${what}`, example)
    return undefined
  }
  // Bare words where the label stands: quotes were forgotten.
  while (!c.done && !c.clauseWords.includes(c.token.key) && !c.token.first) c.take()
  c.unquoted(c.span(start), what)
  return undefined
}

function readPath<K extends string>(c: Terms, field: K, example: string): { [F in K]?: Text } {
  if (c.token.kind !== "text") {
    c.complain(field === "path" ? "a path in quotes" : "a text in quotes", example)
    if (!c.done && !c.clauseWords.includes(c.token.key)) c.skipTo(c.clauseWords)
    return {}
  }
  return { [field]: c.text(field, example) } as { [F in K]?: Text }
}

function readNever(c: Terms): Pick<Bare & { kind: "never" }, "condition"> {
  try {
    return { condition: readCondition(c, false) }
  } catch (thrown) {
    if (thrown !== GIVE_UP) throw thrown
    c.whole = false
    c.skipTo([])
    return {}
  }
}
