import type { Command } from "commander"
import { excerpt } from "../../diagnostics/escape.ts"
import { closest } from "../../diagnostics/suggest.ts"
import { type Page, pages, sectionOf, textOf } from "../io/pages.ts"
import { out } from "../io/terminal.ts"
import { UserError } from "../io/user-error.ts"

const HELP = `
A topic is a command, a page of the reference or the handbook, a shipped ruleset, or the code of a problem.

Examples:
  $ ruleout help                     all topics
  $ ruleout help language | less     the first page of the reference
  $ ruleout help confounded          what this problem means
  $ ruleout help ticket-kiosk > kiosk.ruleout`

export function addHelp(program: Command): void {
  program
    .helpCommand(false)
    .command("help")
    .summary("show the reference on a topic")
    .description("Prints the page about a topic, as it comes with the package.")
    .argument("[topic]", "without one, all topics are listed")
    .addHelpText("after", HELP)
    .action((topic: string | undefined) => {
      if (topic === undefined) out(topicsText(program))
      else out(about(program, topic))
    })
}

function allPages(): Page[] {
  return Object.values(pages).flatMap((list) => list())
}

function about(program: Command, topic: string): string {
  const command = program.commands.find((each) => each.name() === topic)
  if (command) return command.helpInformation()
  const page = allPages().find((each) => each.topic === topic)
  const text = page ? textOf(page) : sectionOf(topic)
  if (text !== undefined) return text
  const known = [...program.commands.map((each) => each.name()), ...allPages().map((each) => each.topic)]
  const near = closest(topic, known)
  throw new UserError(
    `There is no help about ${excerpt(topic)}.`,
    near === undefined ? "`ruleout help` lists all topics." : `Did you mean \`${near}\`?`,
  )
}

function topicsText(program: Command): string {
  const list = (title: string, topics: readonly string[]) =>
    topics.length === 0 ? "" : `${title}\n${topics.map((topic) => `  ${topic}\n`).join("")}`
  const topicsOf = (kind: keyof typeof pages) => pages[kind]().map(({ topic }) => topic)
  return [
    list(
      "Commands",
      program.commands.map((each) => each.name()),
    ),
    list("Reference", topicsOf("reference")),
    list("Handbook", topicsOf("handbook")),
    list("Rulesets that are shipped", topicsOf("examples")),
    list("Types of the library", topicsOf("types")),
    list("Codes of problems, and more; each code is a topic too", topicsOf("codes")),
  ]
    .filter((text) => text !== "")
    .join("\n")
}
