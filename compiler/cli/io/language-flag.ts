/** The option of commands that speak to whoever is at the bench. */
import type { Command } from "commander"
import { excerpt } from "../../diagnostics/escape.ts"
import { inLanguage, languageFor, languagesOf } from "../../graph/in-language.ts"
import type { Graph } from "../../run/index.ts"
import { bestLanguage } from "../../wording/best-language.ts"
import { LANGUAGES, wordsOf } from "../../wording/catalogues.ts"
import type { Words } from "../../wording/words.ts"
import { UserError } from "./user-error.ts"

export interface LanguageFlags {
  readonly language?: string
}

export function addLanguageFlag(command: Command): Command {
  return command.option(
    "--language <tag>",
    "speak this language, like de, and show the ruleset's texts in it",
  )
}

/** A graph with its texts in one language, and the words that the tool speaks beside them. */
export interface Spoken {
  readonly graph: Graph
  readonly words: Words
}

/**
 * In the language that is asked for, else in that of the ruleset's own texts. Where only the graph or only the tool has it, the
 * other stays as it is.
 *
 * @throws UserError where neither has it
 */
export function spokenIn(graph: Graph, { language }: LanguageFlags): Spoken {
  const [own = ""] = languagesOf(graph)
  if (language === undefined) return { graph, words: wordsOf(own) }
  const found = languageFor(graph, [language])
  if (found === undefined && bestLanguage(LANGUAGES, [language]) === undefined) throw unknown(graph, language)
  return { graph: found === undefined ? graph : inLanguage(graph, found), words: wordsOf(language) }
}

function unknown(graph: Graph, language: string): UserError {
  const all = languagesOf(graph).map((tag) => excerpt(tag))
  return new UserError(
    `The graph isn't in ${excerpt(language)}.`,
    all.length === 1 ? `It is in ${all[0]} only.` : `It is in ${all.join(", ")}.`,
  )
}
