import { lookUp } from "../run/lookup.ts"

/** Escapes a user's text for the formats that we write, so that it stays text there. */

/** XML 1.0, 2.2: a document can't contain these characters, not even as references. */
const NO_XML = /[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu

const REFERENCES = new Map([
  ["&", "&amp;"],
  ["<", "&lt;"],
  [">", "&gt;"],
  ['"', "&quot;"],
  ["'", "&#39;"],
  ["\t", "&#9;"],
  ["\n", "&#10;"],
  ["\r", "&#13;"],
])

/** Text as content or as a quoted attribute of XML and HTML; line breaks too come back as they were. */
export function markup(text: string): string {
  return text
    .replace(NO_XML, "\ufffd")
    .replace(/[&<>"'\t\n\r]/g, (character) => lookUp(REFERENCES, character))
}

/** Line breaks, control characters, and marks that change the direction of what follows. */
const UNSEEN = /[\p{Cc}\p{Zl}\p{Zp}\p{Surrogate}\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff]+/gu

/** On one line, without invisible characters that change what is shown. */
export function oneLine(text: string): string {
  return text.replace(UNSEEN, " ").replace(/ {2,}/g, " ").trim()
}

/**
 * Text in which nothing is Markdown: no emphasis, code, link, image, HTML, reference, table cell, heading or list, and
 * no address that a page would turn into a link by itself.
 */
export function markdownText(text: string): string {
  return oneLine(text)
    .replace(/[\\`*_{}[\]<>#!|&~$^=@]/g, "\\$&")
    .replace(/^[-+](?=[\s-]|$)/, "\\$&")
    .replace(/^(\d+)([.)])(?=\s|$)/, "$1\\$2")
    .replace(/:(?=[\w/])/g, "\\:")
    .replace(/(www)\./gi, "$1\\.")
}

/** JSON that is safe inside a `<script>`: without `<` no tag and no comment can begin (HTML, 4.12.1.3). */
export function scriptData(json: string): string {
  return json.replaceAll("<", "\\u003c")
}

/** Broken at spaces into lines of about `width` characters. */
export function wrapped(text: string, width: number): string[] {
  const lines: string[] = []
  let line = ""
  for (const word of text.split(" ")) {
    if (line !== "" && line.length + 1 + word.length > width) {
      lines.push(line)
      line = word
    } else line = line === "" ? word : `${line} ${word}`
  }
  return [...lines, line]
}

/** At most `length` characters; a cut is marked with `…`. */
export function short(text: string, length: number): string {
  const characters = [...text]
  return characters.length > length
    ? `${characters
        .slice(0, length - 1)
        .join("")
        .trimEnd()}…`
    : text
}
