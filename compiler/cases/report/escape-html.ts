/** Text as HTML and SVG take it, attributes too; what would turn or hide writing is escaped as well. */
export function escaped(text: string): string {
  return text.replace(
    /[&<>"'\p{Cc}\u200e\u200f\u2028-\u202e\u2066-\u2069]/gu,
    (c) => `&#${c.codePointAt(0)};`,
  )
}
