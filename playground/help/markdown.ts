import MarkdownIt, { type Token } from "markdown-it"
import { itemAt, last } from "../../compiler/run/lookup.ts"

/** Where a page stands: its name in the address, and its path in the repository, from which its links are counted. */
export interface Place {
  readonly id: string
  readonly path: string
}

export interface Page extends Place {
  readonly title: string
  readonly blocks: readonly Block[]
  /** In reading order; the first is the page's beginning and bears its title. */
  readonly sections: readonly Section[]
}

export interface Section {
  readonly page: string
  readonly pageTitle: string
  /** The heading's `id`; empty for the page's beginning. */
  readonly id: string
  readonly title: string
  /** All words below the heading, for the search. */
  readonly text: string
}

/** A stretch of the page: HTML made by the Markdown library, or a block of code, which we draw. */
export type Block =
  | { readonly kind: "html"; readonly html: string }
  | { readonly kind: "code"; readonly info: string; readonly text: string }

// No HTML of the source passes: it is shown as the text that it is.
const markdown = new MarkdownIt({ html: false })
markdown.renderer.rules.table_open = () =>
  '<div class="help-table" tabindex="0" role="region" aria-label="Table"><table>'
markdown.renderer.rules.table_close = () => "</table></div>"

/** For whoever edits the file, not for its readers. */
const COMMENTS = /^<!--[\s\S]*?-->\n/gm

/** `places`: all pages of the help; a link to one of them stays in the help. */
export function readPage(place: Place, text: string, places: readonly Place[]): Page {
  const tokens = markdown.parse(text.replace(COMMENTS, ""), {})
  const slugs = new Set<string>()
  const blocks: Block[] = []
  const sections: { id: string; title: string; text: string }[] = [{ id: "", title: "", text: "" }]
  let from = 0
  const flush = (to: number) => {
    const html = markdown.renderer.render(tokens.slice(from, to), markdown.options, {})
    if (html !== "") blocks.push({ kind: "html", html })
  }
  tokens.forEach((token, i) => {
    const section = last(sections)
    if (token.type === "heading_open") {
      const title = words(itemAt(tokens, i + 1))
      token.attrSet("tabindex", "-1")
      if (token.tag === "h1") section.title = title
      else {
        const id = unused(slug(title), slugs)
        token.attrSet("id", id)
        sections.push({ id, title, text: "" })
      }
    } else if (token.type === "inline") {
      turnLinks(token.children ?? [], place, places)
      if (tokens[i - 1]?.type !== "heading_open") section.text += `${words(token)}\n`
    } else if (token.type === "fence" || token.type === "code_block") {
      section.text += token.content
      if (token.level > 0) return
      flush(i)
      blocks.push({ kind: "code", info: token.info, text: token.content.trimEnd() })
      from = i + 1
    }
  })
  flush(tokens.length)
  const { title } = itemAt(sections, 0)
  return {
    ...place,
    title,
    blocks,
    sections: sections.map((section) => ({ ...section, page: place.id, pageTitle: title })),
  }
}

/** Links between pages become addresses of the help; one to another file of the repository is only text here. */
function turnLinks(tokens: readonly Token[], place: Place, places: readonly Place[]): void {
  let outside = false
  for (const token of tokens) {
    if (token.type === "link_open") {
      const { protocol, pathname, hash } = new URL(String(token.attrGet("href")), `file:///${place.path}`)
      const page = places.find(({ path }) => `/${path}` === pathname)
      outside = protocol === "file:" && !page
      if (page) token.attrSet("href", `#${helpAddress(page.id, hash.slice(1))}`)
      else if (outside) {
        token.tag = "span"
        token.attrs = [["title", `In the repository: ${pathname.slice(1)}`]]
      } else token.attrSet("rel", "noreferrer")
    } else if (token.type === "link_close" && outside) token.tag = "span"
  }
}

export function helpAddress(page: string, section: string): string {
  return ["help", page, section].filter((part) => part !== "").join("/")
}

function words(inline: Token): string {
  return (inline.children ?? [])
    .map(({ type, content }) => (type === "softbreak" || type === "hardbreak" ? " " : content))
    .join("")
}

/** A heading's name in addresses, made as readers of Markdown on the web have come to expect. */
function slug(title: string): string {
  return title
    .toLowerCase()
    .replace(/[^\p{L}\p{N}\s_-]/gu, "")
    .trim()
    .replaceAll(" ", "-")
}

function unused(name: string, taken: Set<string>): string {
  let free = name
  for (let n = 1; taken.has(free); n++) free = `${name}-${n}`
  taken.add(free)
  return free
}
