import { readdirSync, readFileSync } from "node:fs"
import { join, sep } from "node:path"
import { parseAst } from "vite"

const root = join(import.meta.dirname, "../..")

export interface SourceFile {
  /** From the root of the repository, with slashes. */
  readonly file: string
  readonly text: string
}

/** A node of a syntax tree as ESTree has it; what else it has depends on its type. */
export interface SyntaxNode {
  readonly type: string
  readonly start: number
  readonly end: number
  readonly [field: string]: unknown
}

/** The TypeScript below some top folders. */
export function sourceFiles(...tops: readonly string[]): SourceFile[] {
  return tops.flatMap((top) =>
    readdirSync(join(root, top), { recursive: true, encoding: "utf8" })
      .filter((name) => /\.tsx?$/.test(name) && !name.endsWith(".d.ts"))
      .map((name) => join(top, name).split(sep).join("/"))
      .map((file) => ({ file, text: readFileSync(join(root, file), "utf8") })),
  )
}

export function programOf({ file, text }: SourceFile): SyntaxNode {
  return parseAst(text, { lang: file.endsWith("x") ? "tsx" : "ts" }) as unknown as SyntaxNode
}

/** A node and all below it. */
export function* nodesIn(value: unknown): Iterable<SyntaxNode> {
  if (typeof value !== "object" || value === null) return
  if ("type" in value) yield value as SyntaxNode
  for (const each of Object.values(value)) yield* nodesIn(each)
}
