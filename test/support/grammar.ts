import { KEYWORDS } from "../../compiler/syntax/language/keywords.ts"

/**
 * The syntax once more, written down from the language page as regular expressions, so that the grammar has a judge
 * that shares nothing with it but the list of reserved words. It only tells yes or no, and lets a clause stand twice.
 *
 * A text is first written as its kinds of words with a space between: `N` a name, `U` a unit that is no name, `T` a
 * text, `0` a number, `o` an operator; reserved words and marks stand for themselves. Parentheses, which no regular expression can pair,
 * are taken away from the inside out: what was a condition within them becomes `C`, one without its reading `B`, and a sum or product `E`.
 */
const LEXEME =
  /\s+|#[^\r\n]*|(?<text>"(?:[^"\\\r\n]|\\["\\])*")|(?<number>[-+]?\d+(?:\.\d+)?)|(?<word>[a-z][a-z0-9_]*(?![A-Za-zµΩ°/]))|(?<unit>[A-Za-zµΩ°]+(?:\/[A-Za-z]+)?)|(?<mark>[,:()%])|(?<operator>[-+*/×÷−·])|(?<other>\S)/g

const reserved = new Set(KEYWORDS)
/** Words that are names too, but where a clause begins with them. */
const contextual = new Set(
  "waiting second unlisted fit waits eased removes gives picture language finds does puts back replaces fixes keeps looks again closes cannot next close hand over replace put keep take look gone stays holds fails ruled says value as".split(
    " ",
  ),
)

/** Undefined where a character belongs to no word. */
function kinds(text: string): string | undefined {
  const out: string[] = []
  for (const { groups = {} } of text.matchAll(LEXEME)) {
    if (groups.other !== undefined) return undefined
    if (groups.text !== undefined) out.push("T")
    else if (groups.number !== undefined) out.push("0")
    else if (groups.word !== undefined)
      out.push(reserved.has(groups.word) || contextual.has(groups.word) ? groups.word : "N")
    else if (groups.unit !== undefined) out.push("U")
    else if (groups.mark !== undefined) out.push(groups.mark)
    else if (groups.operator !== undefined) out.push("o")
  }
  return out.join(" ")
}

const NAME = `(?:N|${[...contextual].join("|")})`
const any = (...forms: string[]) => `(?:${forms.join("|")})`
const list = (item: string) => `${item}(?: , ${item})*`
const names = list(NAME)
const value = "(?:N|[a-z]+)"
const quantity = `0(?: (?:${NAME}|[U%]))?`
const percent = "0 %"

const relation = any(
  `is not ${value}`,
  `is one of ${list(value)}`,
  `is (?!not\\b)${value}`,
  `${any("below", "above", "at least", "at most")} ${quantity}`,
  `${any("between", "outside")} ${quantity} and ${quantity}`,
)
const joined = (term: string) => `(?:not )*${term}(?: ${any("and", "or")} (?:not )*${term})*`
const condition = joined(any(`${NAME} ${relation}`, "C"))
const bare = joined(any(relation, "B"))

/** What follows an `except` belongs to it, up to the next `any in`. */
const item = any(NAME, `any in ${NAME}`)
const faults = `${list(item)}(?: except ${names} , any in ${NAME}(?: , ${item})*)*(?: except ${names})?`

const operand = any("E", NAME, quantity)
const takes = `takes ${quantity}`
const waits = `waits ${quantity}`
const gate = any(`after (?:any of )?${names}`, `only if ${condition}`)
const work = any(takes, waits, "costs 0", gate)
const normally = `normally ${bare} ${percent}`
const trust = `trust ${percent}`
const picture = "picture T T"
const behind = `behind ${names}`
const type = any(
  "yes or no",
  `one of ${list(value)}`,
  `in (?:${NAME}|[U%]) from ${quantity} to ${quantity}(?: by ${quantity})?`,
)

const declaration = any(
  all(`ruleset ${NAME} T`, [
    "version T",
    `money (?:${NAME}|U)`,
    "bench 0 per hour",
    `language ${value}`,
    "waiting 0 per hour",
    `second fault ${percent}`,
    `unlisted ${percent}`,
    "comeback costs 0",
    "handover costs 0",
    trust,
  ]),
  "use T",
  all(`part ${NAME} T`, ["price 0", "spare", behind, `fit ${work}`, picture]),
  all(`setup ${NAME} T`, [`of ${NAME}`, behind, `redo cures ${percent}`, picture]),
  all(`complaint ${NAME} T`, [takes, "tries 0"]),
  all(`fault ${NAME} T`, [
    `in ${NAME}`,
    "odds 0",
    `shows ${NAME} ${any(percent, `${bare}(?: ${percent})?`)}`,
    "remedy T",
    `fix ${work}`,
    `eased by ${NAME}(?: ${percent})?`,
    picture,
  ]),
  all(`told ${NAME} T`, [type, normally, trust, takes, picture]),
  all(`reading ${NAME} T`, [
    type,
    `takes ${list(`${NAME} T in (?:${NAME}|[U%])`)}`,
    `gives ${operand}(?: o ${operand})*`,
    normally,
    picture,
  ]),
  all(`test ${NAME} T`, [
    `reads ${names}`,
    `swaps ${names}`,
    `removes ${names}`,
    `redoes ${list(`${NAME}(?: ${percent})?`)}`,
    takes,
    waits,
    "costs 0",
    `risks ${NAME} ${percent}`,
    "needs T",
    `power ${any("on", "off")}`,
    gate,
    "tries 0",
    "caution T",
    picture,
  ]),
  `(?:rule ${NAME} : )?when ${condition} ${any("rule out", "leaves only")} ${faults}(?: ${percent})?(?: because T)?`,
  `never ${condition}`,
  all("scenario T", [
    `finds ${NAME} is ${any(value, quantity)}`,
    `${any("does", "puts back", "replaces", "fixes")} ${NAME} ${any("gone", "stays")}`,
    `${any("takes out", "keeps", "cannot")} ${NAME}`,
    `looks again ${any("gone", "stays")}`,
    `closes ${any("holds", "fails")}`,
    `expects ${any("next", "put back", "take out", "keep", "replace", "fix")} ${NAME}`,
    `expects ${any("look again", "close", "hand over")}`,
    `expects ${NAME} ${any("ruled out", `at ${any("least", "most")} ${percent}`)}`,
  ]),
  all(`texts ${value}`, [
    `${any("says", "remedy", "takes", "needs", "caution", "picture", "because")} (?:${NAME} )?T as T`,
    `value ${NAME} is ${value} as T`,
  ]),
  all("proof T", ["times 0", takes, `expects ${NAME} ${bare}`, `for ${names}`]),
)

function all(head: string, clauses: readonly string[]): string {
  return `${head}(?: ${any(...clauses)})*`
}

const PROGRAM = new RegExp(`^(?:${declaration}(?: |$))*$`)
const PAIRED = new RegExp(`\\( ${condition} \\)`, "g")
const PAIRED_SUM = new RegExp(`\\( ${operand}(?: o ${operand})* \\)`, "g")
const PAIRED_BARE = new RegExp(`\\( ${bare} \\)`, "g")

/** Whether the text is in the language, but for clauses that stand twice and questions without a type. */
export function isInLanguage(text: string): boolean {
  let program = kinds(text)
  if (program === undefined) return false
  for (let before = ""; before !== program; ) {
    before = program
    program = program.replace(PAIRED, "C").replace(PAIRED_BARE, "B").replace(PAIRED_SUM, "E")
  }
  return PROGRAM.test(program)
}
