import type { Section } from "./markdown.ts"

export interface Hit {
  readonly section: Section
  /** A line of its text around the first word found. */
  readonly excerpt: string
}

/**
 * The sections in which every word of the query occurs, at the beginning of a word or within it. First those that bear
 * all words in their title, then by how much of the title and the text speaks of them; like ones in reading order.
 */
export function search(sections: readonly Section[], query: string): Hit[] {
  const words = wordsOf(query)
  if (words.length === 0) return []
  return sections
    .map((section) => ({ section, score: scoreOf(section, words) }))
    .filter(({ score }) => score > 0)
    .sort((a, b) => b.score - a.score)
    .map(({ section }) => ({ section, excerpt: excerptOf(section.text, words) }))
}

export function wordsOf(query: string): string[] {
  return [
    ...new Set(
      query
        .toLowerCase()
        .split(/[^\p{L}\p{N}_-]+/u)
        .filter((word) => word !== ""),
    ),
  ]
}

const weights = { allInTitle: 1000, titleIs: 100, titleWord: 20, titlePart: 10, textMost: 5 }

/** 0 where a word is missing. */
function scoreOf({ title, pageTitle, text }: Section, words: readonly string[]): number {
  const heading = title.toLowerCase()
  const parts = wordsOf(heading)
  const page = pageTitle.toLowerCase()
  const body = text.toLowerCase()
  let score = words.every((word) => heading.includes(word)) ? weights.allInTitle : 0
  if (heading === words.join(" ")) score += weights.titleIs
  for (const word of words) {
    const inText = Math.min(body.split(word).length - 1, weights.textMost)
    const inTitle = parts.includes(word)
      ? weights.titleWord
      : heading.includes(word)
        ? weights.titlePart
        : page.includes(word)
          ? 1
          : 0
    if (inText + inTitle === 0) return 0
    score += inText + inTitle
  }
  return score
}

const EXCERPT_LENGTH = 150

function excerptOf(text: string, words: readonly string[]): string {
  const flat = text.replace(/\s+/g, " ").trim()
  const small = flat.toLowerCase()
  const places = words.map((word) => small.indexOf(word)).filter((at) => at >= 0)
  const first = places.length === 0 ? 0 : Math.min(...places)
  const from = first < 60 ? 0 : flat.indexOf(" ", first - 50) + 1
  const end = from + EXCERPT_LENGTH
  const to = end >= flat.length ? flat.length : Math.max(flat.lastIndexOf(" ", end), from + 1)
  return `${from > 0 ? "… " : ""}${flat.slice(from, to)}${to < flat.length ? " …" : ""}`
}

/** A text cut where the words stand in it: the odd pieces are words found. */
export function cutAt(text: string, words: readonly string[]): string[] {
  if (words.length === 0) return [text]
  const longestFirst = [...words].sort((a, b) => b.length - a.length)
  // Words are letters, digits, `_` and `-`: nothing that an expression would take for its own.
  const any = longestFirst.join("|")
  return text.split(new RegExp(`(${any})`, "iu"))
}
