import { spawnSync } from "node:child_process"
import { readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { nodesIn, programOf, type SyntaxNode, sourceFiles } from "./support/source-files.ts"

const root = join(import.meta.dirname, "..")

/** So that one command checks all: what `npm run check` says, as tests. */
test.each([
  ["the types hold", "typescript/bin/tsc", ["-p", "tsconfig.json"]],
  ["format and lint have nothing to say", "@biomejs/biome/bin/biome", ["check", "--colors=off", "."]],
])("%s", (_, tool, args) => {
  const run = spawnSync(process.execPath, [join(root, "node_modules", tool), ...args], {
    cwd: root,
    encoding: "utf8",
  })
  expect(run.status === 0 ? "" : run.stdout + run.stderr).toBe("")
})

const programs = sourceFiles("compiler", "playground", "rulesets").map((source) => ({
  ...source,
  program: programOf(source),
}))

describe("functions are read in one sitting", () => {
  test.each([
    ["compiler/", 60],
    ["playground/", 100],
  ] as const)("in %s they have at most %i lines", (folder, most) => {
    const found = programs
      .filter(({ file }) => file.startsWith(folder))
      .flatMap(({ file, text, program }) => longFunctions(text, program, most).map((at) => `${file}:${at}`))
    expect(found).toEqual([])
  })

  test("and a longer one is found", () => {
    const text = `const a = 1\nconst f = () => {\n${"a\n".repeat(59)}}\nfunction g() {\n${"a\n".repeat(58)}}\n`
    expect(longFunctions(text, programOf({ file: "a.ts", text }), 60)).toEqual([2])
  })
})

test("constants that are written out as they stand are in capitals: numbers, texts, patterns and lists of these", () => {
  expect(
    programs
      // Messages are called by their keys.
      .filter(({ file }) => !file.startsWith("compiler/wording/compiled/"))
      .flatMap(({ file, program }) => smallConstants(program).map((name) => `${file} ${name}`)),
  ).toEqual([])
  const text = `const a = 1\nexport const b = [/x/, "y"] as const\nconst c = new Set([-1])\nconst D = 2 * a\nconst e = f()\nconst g = {}`
  expect(smallConstants(programOf({ file: "a.ts", text }))).toEqual(["a", "b", "c"])
})

test("what a module keeps from call to call says why", () => {
  const found = programs
    .filter(({ file }) => !file.startsWith("rulesets/"))
    .flatMap(({ file, text, program }) => unexplainedState(text, program).map((name) => `${file} ${name}`))
  expect(found).toEqual([])
  const text = `let a = 1\n/** Why. */\nlet b = 1\nconst c = new Map<string, string>()\nconst d = new Set([a])\n`
  expect(unexplainedState(text, programOf({ file: "a.ts", text }))).toEqual(["a", "c"])
})

test("pages that are written by hand are wrapped at 110: as wide as the code", () => {
  const folders = ["", "compiler/reference", "rulesets/handbook", "test/conformance"]
  const pages = folders.flatMap((folder) =>
    readdirSync(join(root, folder))
      .filter((name) => name.endsWith(".md") && name !== "CHANGELOG.md")
      .map((name) => join(folder, name)),
  )
  expect(pages.length).toBeGreaterThan(25)
  expect(
    pages.flatMap((page) => longLines(readFileSync(join(root, page), "utf8")).map((at) => `${page}:${at}`)),
  ).toEqual([])
  const wide = "word ".repeat(30)
  expect(
    longLines(`# ${wide}\n${wide}\n| ${wide}\n\`\`\`\n${wide}\n\`\`\`\n    ${wide}\n- ${wide}\n`),
  ).toEqual([2, 8])
})

/** Lines of prose beyond 110 characters: not of headings, tables and code. */
function longLines(page: string): number[] {
  const prose = page.replaceAll(/^```[\s\S]*?^```$/gm, (code) => code.replaceAll(/[^\n]/g, ""))
  return prose
    .split("\n")
    .flatMap((line, i) => (line.length > 110 && !/^(?:#|\|| {4})/.test(line) ? [i + 1] : []))
}

/** Variables and empty collections of a module without a comment. */
function unexplainedState(text: string, program: SyntaxNode): string[] {
  return nodes(program.body)
    .filter(({ start }) => !text.slice(0, start).trimEnd().endsWith("*/"))
    .filter(({ type }) => type === "VariableDeclaration")
    .flatMap(({ kind, declarations }) =>
      nodes(declarations).filter(({ init }) => kind === "let" || isEmpty(init)),
    )
    .map(({ id }) => String((id as SyntaxNode).name))
    .filter((name) => /^[a-z]/.test(name))
}

function isEmpty(init: unknown): boolean {
  const { type, callee, arguments: given } = (init ?? {}) as SyntaxNode
  return (
    type === "NewExpression" &&
    /^(?:Weak)?(?:Map|Set)$/.test(String((callee as SyntaxNode).name)) &&
    nodes(given).length === 0
  )
}

/** The lines on which functions with more than `most` lines begin. */
function longFunctions(text: string, program: SyntaxNode, most: number): number[] {
  const lines = (from: number, to: number) => text.slice(from, to).split("\n").length
  return [...nodesIn(program)]
    .filter(({ type, body }) => /Function/.test(type) && body)
    .filter(({ start, end }) => lines(start, end) > most)
    .map(({ start }) => lines(0, start))
}

function smallConstants(program: SyntaxNode): string[] {
  return nodes(program.body)
    .map((each) => (each.type === "ExportNamedDeclaration" ? (each.declaration as SyntaxNode | null) : each))
    .filter((each) => each?.type === "VariableDeclaration" && each.kind === "const")
    .flatMap((each) => nodes(each?.declarations))
    .filter(({ init }) => isWrittenOut(init as SyntaxNode | null))
    .map(({ id }) => String((id as SyntaxNode).name))
    .filter((name) => /^[a-z]/.test(name))
}

function isWrittenOut(node: SyntaxNode | null): boolean {
  switch (node?.type) {
    case "Literal":
      return true
    case "TemplateLiteral":
      return nodes(node.expressions).length === 0
    case "UnaryExpression":
      return isWrittenOut(node.argument as SyntaxNode)
    case "BinaryExpression":
      return isWrittenOut(node.left as SyntaxNode) && isWrittenOut(node.right as SyntaxNode)
    case "TSAsExpression":
    case "TSSatisfiesExpression":
      return isWrittenOut(node.expression as SyntaxNode)
    case "ArrayExpression":
      return nodes(node.elements).every(isWrittenOut)
    case "NewExpression":
      return (
        (node.callee as SyntaxNode).name === "Set" &&
        nodes(node.arguments).length === 1 &&
        nodes(node.arguments).every(isWrittenOut)
      )
    default:
      return false
  }
}

const nodes = (value: unknown) => (value ?? []) as readonly SyntaxNode[]
