import type { Hover } from "./hover.ts"

/** A hover as Markdown. The user's text is none; names in backticks may stay. */
export function hoverMarkdown({ title, lines }: Hover): string {
  return [`**${escaped(title)}**`, ...lines.map(escaped)].join("\n\n")
}

function escaped(text: string): string {
  return text
    .replace(/[\\*_{}[\]<>#|!]/g, "\\$&")
    .replace(/`([^`]*)`/g, (_, name: string) => `\`${name.replaceAll("\\", "")}\``)
}
