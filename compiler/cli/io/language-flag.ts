/** The option of commands that show the texts of a graph. */
import type { Command } from "commander"
import { excerpt } from "../../diagnostics/escape.ts"
import { inLanguage, languageFor, languagesOf } from "../../graph/in-language.ts"
import type { Graph } from "../../run/index.ts"
import { UserError } from "./user-error.ts"

export interface LanguageFlags {
  readonly language?: string
}

export function addLanguageFlag(command: Command): Command {
  return command.option("--language <tag>", "show the ruleset's texts in this language, like de")
}

/** The graph with its texts in the language that is asked for. @throws UserError where it doesn't have it */
export function shownIn(graph: Graph, { language }: LanguageFlags): Graph {
  if (language === undefined) return graph
  const found = languageFor(graph, [language])
  if (found !== undefined) return inLanguage(graph, found)
  const all = languagesOf(graph).map((tag) => excerpt(tag))
  throw new UserError(
    `The graph isn't in ${excerpt(language)}.`,
    all.length === 1 ? `It is in ${all[0]} only.` : `It is in ${all.join(", ")}.`,
  )
}
