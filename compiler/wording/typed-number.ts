import * as m from "./compiled/common.ts"
import { english, type Words } from "./words.ts"

/**
 * Numbers as people write them at the bench and in tables, brought into the one way that the runner reads: digits, a
 * point, a unit. Terminal, page and table import all come here, so that they take the same and refuse the same.
 */

/** The text for the runner; or, where it can mean two numbers, the sentence that says so. */
export type TypedNumber = { readonly said: string } | { readonly problem: string }

/**
 * IEC 60062: a letter stands where the decimal point would, and says the multiple: `4k7` is 4.7 kohm, `0R22` 0.22 ohm,
 * `4n7` 4.7 nF. The standard has `K`; `k` is as common. For ohms and farads alone.
 */
const LETTERS: Readonly<Record<"ohm" | "F", ReadonlyMap<string, string>>> = {
  ohm: new Map(Object.entries({ R: "", k: "k", K: "k", M: "M", G: "G", T: "T" })),
  F: new Map(Object.entries({ p: "p", n: "n", u: "u", µ: "u", μ: "u", m: "m", F: "" })),
}

/**
 * `typed` with its unit, or with `unit` where it has none of its own. What isn't a number stays as it is, for the runner
 * to say what would be one.
 */
export function typedNumber(typed: string, unit: string, words: Words = english): TypedNumber {
  // Typographers' spaces (no-break, figure, thin, narrow no-break) and minus signs.
  const text = typed
    .replace(/[\u00a0\u2007\u2009\u202f]/g, " ")
    .trim()
    .replace(/^[−–]/, "-")
  const sign = /^[-+]/.exec(text)?.[0] ?? ""
  const digits = (/^[\d.,'’ ]*/.exec(text.slice(sign.length))?.[0] ?? "").trimEnd()
  const tail = text.slice(sign.length + digits.length)
  const coded = codedNumber(digits, tail.trim(), unit, words)
  if (coded !== undefined) return { said: sign + coded }
  const plain = plainDigits(digits, words)
  if (plain === undefined) return { said: text }
  if ("problem" in plain) return plain
  const hasUnit = !/^(?:e[-+]?\d+)?$/i.test(tail)
  return { said: `${sign}${plain.said}${tail}${hasUnit ? "" : ` ${unit}`}` }
}

function codedNumber(digits: string, rest: string, unit: string, words: Words): string | undefined {
  const base = /(?:ohm|[ΩΩ])$/.test(unit) ? "ohm" : /(?<!deg|°)F$/.test(unit) ? "F" : undefined
  const letter = rest.charAt(0)
  const multiple = base === undefined ? undefined : LETTERS[base].get(letter)
  if (multiple === undefined) return undefined
  const [decimals = ""] = /^\d*/.exec(rest.slice(1)) ?? []
  const after = rest.slice(1 + decimals.length).trim()
  const isCode = after === "" || after === base || (base === "ohm" && /^[ΩΩ]$/.test(after))
  if (!isCode || (decimals !== "" && !/^\d*$/.test(digits))) return undefined
  const number = decimals === "" ? digits : `${digits || "0"}${decimalMarkOf(words)}${decimals}`
  const plain = plainDigits(number, words)
  return plain === undefined || "problem" in plain ? undefined : `${plain.said} ${multiple}${base}`
}

/** With a point for the decimal mark and without separators; undefined where it is no number. */
function plainDigits(text: string, words: Words): TypedNumber | undefined {
  const decimalMark = decimalMarkOf(words)
  const marks = text.replace(/\d/g, "")
  // One group of three digits, after what isn't the decimal mark here, though it is elsewhere.
  const isDoubtful = /^[.,]$/.test(marks) && marks !== decimalMark && /^[1-9]\d{0,2}[.,]\d{3}$/.test(text)
  if (marks === "" || (marks === "." && !isDoubtful)) return /\d/.test(text) ? { said: text } : undefined
  // The last mark is the decimal mark where it is the only one of its kind, and no space or apostrophe.
  const last = marks.charAt(marks.length - 1)
  const isDecimal = /[.,]/.test(last) && marks.indexOf(last) === marks.length - 1
  const end = isDecimal ? text.lastIndexOf(last) : text.length
  const [whole, decimals] = [text.slice(0, end), text.slice(end + 1)]
  if (isDoubtful) {
    const fraction = `${whole}${decimalMark}${decimals}`
    return { problem: words.say(m.ambiguousNumber, { typed: text, fraction, whole: whole + decimals }) }
  }
  const separators = isDecimal ? marks.slice(0, -1) : marks
  const [first = "", ...groups] = whole.split(/[.,'’ ]/)
  const isGrouped = new Set(separators).size < 2 && groups.every((group) => /^\d{3}$/.test(group))
  if (!isGrouped || (groups.length > 0 && !/^\d{1,3}$/.test(first))) return undefined
  return { said: first + groups.join("") + (decimals === "" ? "" : `.${decimals}`) }
}

function decimalMarkOf(words: Words): string {
  return words.digits("0.5").charAt(1)
}
