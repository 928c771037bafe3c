import { expect, test } from "vitest"
import type { Part } from "../../compiler/wording/message.ts"
import { patternIn } from "../../compiler/wording/messages/compile.ts"
import { catalogue } from "../../playground/build/compiled-messages.ts"
import { nodesIn, programOf, type SyntaxNode, sourceFiles } from "../support/source-files.ts"

const ARGUMENT = "x"

/** The words that a piece of a text is chosen from; undefined where the source doesn't have them. */
function chosenFrom({ type, consequent, alternate }: SyntaxNode): string[] | undefined {
  if (type !== "ConditionalExpression") return undefined
  const words = [consequent, alternate].map((each) => (each as SyntaxNode).value)
  return words.every((each) => typeof each === "string") ? words : undefined
}

const escaped = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")

const source = sourceFiles("compiler/run").flatMap((file) => [...nodesIn(programOf(file))])
const literals = source.filter(({ type }) => type === "Literal").map(({ value }) => value)
const templates = source
  .filter(({ type }) => type === "TemplateLiteral")
  .map(({ quasis, expressions }) => ({
    pieces: (quasis as { value: { cooked: string } }[]).map(({ value }) => value.cooked),
    chosen: (expressions as SyntaxNode[]).map(chosenFrom),
  }))

/** What can stand for an expression: an argument, the words of an answer, or another text of the runner's. */
const inserted = [
  `\`?${ARGUMENT}\`?`,
  "`\\w+`(?: or `\\w+`)?",
  ...templates.map(({ pieces }) => escaped(pieces.join(ARGUMENT))),
].join("|")

const said = templates.map(({ pieces, chosen }) => {
  const holes = chosen.map((words) => `(?:${words?.map(escaped).join("|") ?? inserted})`)
  return new RegExp(`^${pieces.map((piece, i) => escaped(piece) + (holes[i] ?? "")).join("")}$`)
})

const isSaid = (text: string) => literals.includes(text) || said.some((each) => each.test(text))

test("each message of the room `runner` is said by the runner, word for word", () => {
  const messages = Object.entries(catalogue("en", "runner"))
  expect(messages.length).toBeGreaterThan(0)
  const unsaid = messages.filter(([, text]) => {
    const pattern: string | readonly Part[] = patternIn(text)
    const parts = typeof pattern === "string" ? [pattern] : pattern
    return !isSaid(parts.map((part) => (typeof part === "string" ? part : ARGUMENT)).join(""))
  })
  expect(unsaid).toEqual([])
})

test("a text that the runner doesn't say would be seen", () => {
  expect(isSaid("The known-good `x` is in the machine.")).toBe(true)
  expect(isSaid("The known-good `x` is still in the machine.")).toBe(false)
  expect(isSaid("`x` is a number near x; `x` isn't.")).toBe(false)
})
