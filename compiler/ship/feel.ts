/** Names, numbers and texts of FEEL, the expression language of DMN (OMG DMN 1.5, chapter 10). */

/** Words that FEEL's grammar reserves (10.3.1.2), and names of types and functions that we use. */
const RESERVED = new Set(
  "and any between context date days distinct duration every external false flatten floor for function if in instance item list max min months not null number of or partial range return satisfies some string then time true years else".split(
    " ",
  ),
)

/** A name for a variable that isn't `taken` yet; the same as ours if FEEL can read that. */
export function feelName(name: string, taken: Set<string>): string {
  const plain = name.replace(/[^A-Za-z0-9_]/g, "_").replace(/^(?=\d|$)/, "_")
  let free = RESERVED.has(plain) ? `${plain}_` : plain
  for (let n = 2; taken.has(free); n++) free = `${plain}_${n}`
  taken.add(free)
  return free
}

/** Without an exponent, to 12 digits, which is finer than any grid. */
export function feelNumber(value: number): string {
  const exact = Number(value.toPrecision(12))
  if (!/e/.test(String(exact))) return String(exact)
  const places = Math.min(100, 12 + Math.ceil(-Math.log10(Math.abs(exact))))
  return exact.toFixed(Math.max(0, places)).replace(/\.?0+$/, "")
}

/** A string literal; control characters and what XML can't hold are escaped by number. */
export function feelText(text: string): string {
  const inside = text.replace(
    /["\\]|[^\u0020-\u007e\u00a0-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu,
    (character) =>
      character === '"' || character === "\\"
        ? `\\${character}`
        : `\\u${character.charCodeAt(0).toString(16).padStart(4, "0")}`,
  )
  return `"${inside}"`
}
