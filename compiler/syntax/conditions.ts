import { GIVE_UP } from "./cursor.ts"
import { quote } from "./quote.ts"
import type { Terms } from "./terms.ts"
import type { Token } from "./tokens.ts"
import type { Comparison, Condition, Name, Quantity } from "./tree.ts"

/** Parentheses and `not` within each other; nobody reads more, and a stack has an end. */
export const MOST_NESTED = 200

/** What other languages write, and what it is here. */
const SYMBOLS: Record<string, string> = {
  "=": "is",
  "==": "is",
  "!=": "is not",
  "<>": "is not",
  "≠": "is not",
  "<": "below",
  ">": "above",
  "<=": "at most",
  "≤": "at most",
  ">=": "at least",
  "≥": "at least",
  "&": "and",
  "&&": "and",
  "|": "or",
  "||": "or",
  "!": "not",
}
const COMPARING = ["is", "below", "above", "at", "between", "outside"]

/**
 * Reads a condition. `bare`: as in `shows` and `normally`, where the reading stands before the condition and is not
 * named in it. `and` and `or` in a row are one item with many parts, parentheses that change nothing are dropped.
 */
export function readCondition(c: Terms, bare: boolean): Condition {
  const condition = readChain(c, "or", bare, 0)
  while (c.at(")")) {
    const token = c.take()
    c.mend("unpaired-parenthesis", c.spanOf(token), "`)` has no `(` before it.", "Take it out", "")
  }
  return condition
}

function readChain(c: Terms, word: "or" | "and", bare: boolean, depth: number): Condition {
  const next = () => (word === "or" ? readChain(c, "and", bare, depth) : readNot(c, bare, depth))
  const start = c.token.start
  const first = next()
  if (!goesOn(c, word)) return first
  const items: Condition[] = first.kind === word ? [...first.items] : [first]
  do {
    const item = next()
    if (item.kind === word) items.push(...item.items)
    else items.push(item)
  } while (goesOn(c, word))
  return { kind: word, items, span: c.span(start) }
}

function goesOn(c: Terms, word: "or" | "and"): boolean {
  if (c.accept(word)) return true
  if (c.token.kind === "symbol" && SYMBOLS[c.token.text] === word) {
    takeSymbol(c, word)
    return true
  }
  // `adn`: only where a comparison or a parenthesis could follow, since anything else may begin a clause.
  return word === "and" && c.atName && c.ahead(1).kind === "word" && c.slip(["and"]) !== undefined
}

function readNot(c: Terms, bare: boolean, depth: number): Condition {
  const { token } = c
  const isNot = c.accept("not") || (token.text === "!" && token.kind === "symbol" && takeSymbol(c, "not"))
  if (!isNot && !c.at("(")) return readComparison(c, bare)
  if (depth >= MOST_NESTED) {
    c.whole = false
    c.report("too-deep", c.spanOf(token), `${quote(token.text)} stands within ${MOST_NESTED} others.`, {
      help: "Split the condition into several rules.",
    })
    throw GIVE_UP
  }
  if (isNot) {
    const item = readNot(c, bare, depth + 1)
    return { kind: "not", item, span: c.span(token.start) }
  }
  c.take()
  const inner = readChain(c, "or", bare, depth + 1)
  if (!c.accept(")")) unclosed(c, token)
  return inner
}

function unclosed(c: Terms, open: Token): void {
  const { token } = c
  c.whole = false
  if (token.kind === "garbage") throw GIVE_UP
  const after = c.last.end
  c.report("unpaired-parenthesis", c.spanOf(open), "`(` has no `)`.", {
    labels: [{ span: c.span(c.last.start, after), text: "`)` is due behind this" }],
    edits: [{ title: "Put `)`", safe: false, changes: [{ span: c.span(after, after), text: ")" }] }],
  })
}

function readComparison(c: Terms, bare: boolean): Condition {
  const { start, key } = c.token
  if (!bare && key !== "" && !isComparing(c.ahead(1))) alone(c)
  const reading = bare ? undefined : c.name("a reading", "glow is yes")
  if (bare && c.atName && isComparing(c.ahead(1))) namedAgain(c)
  const { comparison, values, numbers } = readRelation(c)
  return {
    kind: "compare",
    ...(reading === undefined ? {} : { reading }),
    comparison,
    values,
    numbers,
    span: c.span(start),
  }
}

/** `glow is yes or no`: a value where the reading is due. */
function alone(c: Terms): void {
  const { token } = c
  if (token.kind !== "word" || c.clauseWords.includes(token.key)) return
  c.whole = false
  c.report("unexpected", c.spanOf(token), `${quote(token.text)} stands where a reading is due.`, {
    help: "Each comparison names its reading, like `glow is yes or glow is no`.",
  })
  throw GIVE_UP
}

function isComparing(token: Token): boolean {
  return COMPARING.includes(token.key) || (token.kind === "symbol" && token.text in SYMBOLS)
}

function namedAgain(c: Terms): void {
  const name = c.take()
  c.mend(
    "unexpected",
    c.spanOf(name),
    `The reading is named again as ${quote(name.text)}.`,
    "Take it out",
    "",
    "The condition goes on about the reading named before.",
  )
}

interface Relation {
  readonly comparison: Comparison
  readonly values: readonly Name[]
  readonly numbers: readonly Quantity[]
}

function readRelation(c: Terms): Relation {
  const relation = c.token.kind === "symbol" ? symbolAt(c) : wordAt(c)
  switch (relation) {
    case "is":
      return readIs(c)
    case "is not":
      return { comparison: "is not", values: [c.value("glow is not yes")], numbers: [] }
    case "below":
    case "above":
      return { comparison: relation, values: [], numbers: [c.quantity("a number", `${relation} 12 V`)] }
    case "at":
      return readAt(c)
    case "at least":
    case "at most":
      return { comparison: relation, values: [], numbers: [c.quantity("a number", `${relation} 12 V`)] }
    case "between":
    case "outside": {
      const example = `${relation} 22.8 and 25.2 V`
      const low = c.quantity("a number", example)
      c.keyword("and", example)
      return { comparison: relation, values: [], numbers: [low, c.quantity("a number", example)] }
    }
    default:
      return c.missing("a comparison", "is yes` or `below 12 V")
  }
}

function wordAt(c: Terms): string | undefined {
  for (const word of COMPARING) if (c.accept(word)) return word
  return c.slip(COMPARING)
}

function symbolAt(c: Terms): string | undefined {
  const meant = SYMBOLS[c.token.text]
  // `= 3`: that a number is not compared so is the one thing to say.
  if (meant === "is" && c.ahead(1).kind === "number") {
    c.take()
    return meant
  }
  return meant !== undefined && takeSymbol(c, meant) ? meant : undefined
}

function takeSymbol(c: Terms, meant: string): true {
  const token = c.take()
  c.mend(
    "symbol",
    c.spanOf(token),
    `${quote(token.text)} is written \`${meant}\`.`,
    `Write \`${meant}\``,
    ` ${meant} `,
  )
  return true
}

function readIs(c: Terms): Relation {
  if (c.at("one") && c.ahead(1).key === "of") {
    c.accept("one")
    c.accept("of")
    return { comparison: "is one of", values: readValues(c, "is one of dim, dark"), numbers: [] }
  }
  // Always the negation: a value that is called `not` can be had by `is one of not`.
  if (c.accept("not")) return { comparison: "is not", values: [c.value("glow is not yes")], numbers: [] }
  return { comparison: "is", values: [c.value("glow is yes")], numbers: [] }
}

function readAt(c: Terms): Relation {
  const example = "at least 12 V"
  const word = c.accept("least") ? "least" : c.accept("most") ? "most" : c.slip(["least", "most"])
  if (word === undefined) return c.missing("`least` or `most`", example)
  const comparison = word === "most" ? "at most" : "at least"
  return { comparison, values: [], numbers: [c.quantity("a number", example)] }
}

/** The values of `one of`. */
export function readValues(c: Terms, example: string): Name[] {
  const values: Name[] = []
  do values.push(c.value(example))
  while (c.accept(",") || c.forgottenComma())
  return values
}
