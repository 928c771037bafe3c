/** Messages as they are compiled from the catalogues, and how they are put together. */

/** A text, or its pieces in order. */
export type Pattern = string | readonly Part[]

/** A piece of text, an argument, or what depends on one: by the plural of a number, or by a word. */
export type Part =
  | string
  | readonly [name: string, kind?: "number"]
  | readonly [name: string, kind: "plural" | "select", options: Option]

export type Option = Readonly<Record<string, Pattern>>

/** One message: its key, and what it is in English. `A`: its arguments. */
export type Message<A = undefined> = readonly [key: string, english: Pattern] & {
  readonly takes?: (args: A) => void
}

/** By key, the messages of a language. What is missing is said in English. */
export type Texts = Readonly<Record<string, Pattern>>

export type Arguments = Readonly<Record<string, string | number>>

/** What a pattern needs to know of the language that it is in. */
export interface Grammar {
  number(value: number): string
  /** The category of a number in the language's plural rules. */
  plural(value: number): string
  /** A text that is given, set off from the direction of the text around it. */
  isolated(text: string): string
}

/** The text of a pattern with these arguments. */
export function textOf(pattern: Pattern, args: Arguments, grammar: Grammar): string {
  if (typeof pattern === "string") return pattern
  return pattern.map((part) => (typeof part === "string" ? part : pieceOf(part, args, grammar))).join("")
}

function pieceOf(
  [name, kind, options = {}]: Exclude<Part, string>,
  args: Arguments,
  grammar: Grammar,
): string {
  const value = args[name] ?? ""
  if (kind === undefined) return grammar.isolated(String(value))
  if (kind === "number") return grammar.number(Number(value))
  const chosen =
    kind === "select" ? options[value] : (options[`=${value}`] ?? options[grammar.plural(Number(value))])
  return textOf(chosen ?? options.other ?? "", args, grammar)
}
