import { type MessageFormatElement, parse, TYPE } from "@formatjs/icu-messageformat-parser"
import type { Option, Part, Pattern } from "../message.ts"

/**
 * Catalogues are texts in ICU MessageFormat, one file for each room and language. What runs needs no parser: it has them in
 * pieces, English as one constant for each message, with the types of its arguments, so that a bundle carries only those it
 * says; the other languages as one table for each room.
 */

/** By its key, each message in ICU MessageFormat. */
export type Catalogue = Readonly<Record<string, string>>

/** What an argument is given as: a number, a text, or one of these words. */
type ArgumentType = "number" | "string" | readonly string[]

interface Compiled {
  readonly pattern: Pattern
  readonly takes: ReadonlyMap<string, ArgumentType>
}

const HEAD = "// Written by `npm run messages` from the catalogues in messages/.\n"

/** English, as a module: a constant for each message. @throws SyntaxError where a message can't be read */
export function englishModule(catalogue: Catalogue): string {
  const constants = Object.entries(catalogue).map(([key, text]) => {
    const { pattern, takes } = compiled(key, text)
    return `export const ${key}: Message${typeOf(takes)} = ${JSON.stringify([key, pattern])}\n`
  })
  return `${HEAD}import type { Message } from "../message.ts"\n\n${constants.join("")}`
}

/** Another language, as a module: the table of a room. @throws SyntaxError where a message can't be read */
export function tableModule(catalogue: Catalogue): string {
  const rows = Object.entries(catalogue).map(
    ([key, text]) => `  ${key}: ${JSON.stringify(compiled(key, text).pattern)},\n`,
  )
  return `${HEAD}import type { Texts } from "../message.ts"\n\nexport const texts: Texts = {\n${rows.join("")}}\n`
}

/** How a catalogue differs from the English one: keys and arguments that it lacks, or has besides. */
export function differences(english: Catalogue, other: Catalogue): string[] {
  const keys = [...new Set([...Object.keys(english), ...Object.keys(other)])]
  return keys.flatMap((key) => {
    const [own, its] = [english[key], other[key]]
    if (own === undefined) return [`${key} isn't in the English catalogue`]
    if (its === undefined) return [`${key} is missing`]
    const [wanted, given] = [own, its].map((text) => typeOf(compiled(key, text).takes))
    return wanted === given ? [] : [`${key} takes ${given || "nothing"}, in English ${wanted || "nothing"}`]
  })
}

/** One message in pieces. @throws SyntaxError where it can't be read */
export function patternIn(text: string): Pattern {
  return compiled("message", text).pattern
}

function compiled(key: string, text: string): Compiled {
  if (!/^[a-z][A-Za-z0-9]*$/.test(key)) throw new SyntaxError(`${key}: a key is a name in camel case`)
  const takes = new Map<string, ArgumentType>()
  try {
    return { pattern: patternOf(parse(text, { ignoreTag: true }), takes, undefined), takes }
  } catch (error) {
    throw new SyntaxError(`${key}: ${(error as Error).message}`)
  }
}

/** `counted`: the argument that `#` stands for. */
function patternOf(
  elements: readonly MessageFormatElement[],
  takes: Map<string, ArgumentType>,
  counted: string | undefined,
): Pattern {
  const parts = elements.map((element) => partOf(element, takes, counted))
  const [first = "", ...others] = parts
  return others.length === 0 && typeof first === "string" ? first : parts
}

function partOf(
  element: MessageFormatElement,
  takes: Map<string, ArgumentType>,
  counted: string | undefined,
): Part {
  switch (element.type) {
    case TYPE.literal:
      return element.value
    case TYPE.argument:
      take(takes, element.value, "string")
      return [element.value]
    case TYPE.number:
      if (element.style)
        throw new SyntaxError("numbers have no style of their own: give the text of a figure")
      take(takes, element.value, "number")
      return [element.value, "number"]
    case TYPE.pound:
      return [counted ?? "", "number"]
    case TYPE.plural: {
      if (element.offset !== 0 || element.pluralType !== "cardinal")
        throw new SyntaxError("only plurals without an offset are known")
      take(takes, element.value, "number")
      return [element.value, "plural", optionsOf(element.options, takes, element.value)]
    }
    case TYPE.select:
      take(takes, element.value, Object.keys(element.options).sort())
      return [element.value, "select", optionsOf(element.options, takes, counted)]
    default:
      throw new SyntaxError("only texts, numbers, plural and select are known")
  }
}

function optionsOf(
  options: Readonly<Record<string, { readonly value: readonly MessageFormatElement[] }>>,
  takes: Map<string, ArgumentType>,
  counted: string | undefined,
): Option {
  return Object.fromEntries(
    Object.entries(options).map(([word, { value }]) => [word, patternOf(value, takes, counted)]),
  )
}

function take(takes: Map<string, ArgumentType>, name: string, type: ArgumentType): void {
  const other = takes.get(name)
  if (other !== undefined && String(other) !== String(type))
    throw new SyntaxError(`{${name}} is given as ${String(other)} and as ${String(type)}`)
  takes.set(name, type)
}

/** In the order of the alphabet: a translation may name them in another. */
function typeOf(takes: ReadonlyMap<string, ArgumentType>): string {
  if (takes.size === 0) return ""
  const fields = [...takes]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, type]) => {
      return `readonly ${name}: ${typeof type === "string" ? type : type.map((word) => JSON.stringify(word)).join(" | ")}`
    })
  return `<{ ${fields.join("; ")} }>`
}
