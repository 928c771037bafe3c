import { KEYWORDS } from "../../compiler/syntax/language/statements.ts"

/**
 * The syntax once more, written down from the language page as regular expressions, so that the grammar has a judge
 * that shares nothing with it but the list of reserved words. It only tells yes or no, and lets a clause stand twice.
 *
 * A text is first written as its kinds of words with a space between: `N` a name, `U` a unit that is no name, `T` a
 * text, `0` a number; reserved words and marks stand for themselves. Parentheses, which no regular expression can pair,
 * are taken away from the inside out: what was a condition within them becomes `C`, and one without its reading `B`.
 */
const LEXEME =
  /\s+|#[^\r\n]*|(?<text>"(?:[^"\\\r\n]|\\["\\])*")|(?<number>[-+]?\d+(?:\.\d+)?)|(?<word>[a-z][a-z0-9_]*(?![A-Za-zµΩ°/]))|(?<unit>[A-Za-zµΩ°]+(?:\/[A-Za-z]+)?)|(?<mark>[,:()%])|(?<other>\S)/g

const reserved = new Set(KEYWORDS)

/** Undefined where a character belongs to no word. */
function kinds(text: string): string | undefined {
  const out: string[] = []
  for (const { groups = {} } of text.matchAll(LEXEME)) {
    if (groups.other !== undefined) return undefined
    if (groups.text !== undefined) out.push("T")
    else if (groups.number !== undefined) out.push("0")
    else if (groups.word !== undefined) out.push(reserved.has(groups.word) ? groups.word : "N")
    else if (groups.unit !== undefined) out.push("U")
    else if (groups.mark !== undefined) out.push(groups.mark)
  }
  return out.join(" ")
}

const any = (...forms: string[]) => `(?:${forms.join("|")})`
const list = (item: string) => `${item}(?: , ${item})*`
const names = list("N")
const value = "(?:N|[a-z]+)"
const quantity = "0(?: [NU%])?"
const percent = "0 %"

const relation = any(
  `is not ${value}`,
  `is one of ${list(value)}`,
  `is (?!not\\b)${value}`,
  `${any("below", "above", "at least", "at most")} ${quantity}`,
  `${any("between", "outside")} ${quantity} and ${quantity}`,
)
const joined = (term: string) => `(?:not )*${term}(?: ${any("and", "or")} (?:not )*${term})*`
const condition = joined(any(`N ${relation}`, "C"))
const bare = joined(any(relation, "B"))

const takes = `takes ${quantity}`
const trust = `trust ${percent}`
const behind = `behind ${names}`
const type = any(
  "yes or no",
  `one of ${list(value)}`,
  `in [NU%] from ${quantity} to ${quantity}(?: by ${quantity})?`,
)

const declaration = any(
  all("ruleset N T", [
    "version T",
    "money [NU]",
    "bench 0 per hour",
    "comeback costs 0",
    "handover costs 0",
    trust,
  ]),
  "use T",
  all("part N T", ["price 0", "spare", behind]),
  all("setup N T", ["of N", behind, `redo cures ${percent}`]),
  "complaint N T",
  all("fault N T", [
    "in N",
    "odds 0",
    `shows N ${any(percent, `${bare}(?: ${percent})?`)}`,
    "remedy T",
    "fix costs 0",
    `fix ${takes}`,
  ]),
  all("told N T", [type, trust, takes]),
  all("reading N T", [type, `normally ${bare} ${percent}`]),
  all("test N T", [
    `reads ${names}`,
    "swaps N",
    `redoes ${list(`N(?: ${percent})?`)}`,
    takes,
    "costs 0",
    `risks N ${percent}`,
    "needs T",
    `power ${any("on", "off")}`,
    `after ${names}`,
    `only if ${condition}`,
    "tries 0",
    "caution T",
  ]),
  `(?:rule N : )?when ${condition} ${any("rule out", "leaves only")} ${any(names, "any in N")}(?: except ${names})?(?: because T)?`,
  `never ${condition}`,
  all("proof T", ["times 0", takes, `expects N ${bare}`, `for ${names}`]),
)

function all(head: string, clauses: readonly string[]): string {
  return `${head}(?: ${any(...clauses)})*`
}

const PROGRAM = new RegExp(`^(?:${declaration}(?: |$))*$`)
const PAIRED = new RegExp(`\\( ${condition} \\)`, "g")
const PAIRED_BARE = new RegExp(`\\( ${bare} \\)`, "g")

/** Whether the text is in the language, but for clauses that stand twice and questions without a type. */
export function isInLanguage(text: string): boolean {
  let program = kinds(text)
  if (program === undefined) return false
  for (let before = ""; before !== program; ) {
    before = program
    program = program.replace(PAIRED, "C").replace(PAIRED_BARE, "B")
  }
  return PROGRAM.test(program)
}
