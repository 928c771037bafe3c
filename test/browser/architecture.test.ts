import { readdirSync, readFileSync } from "node:fs"
import { dirname, join } from "node:path"
import { describe, expect, test } from "vitest"

const folder = join(import.meta.dirname, "../../playground")
/** A component or function that is longer can't be taken in at once. */
const longest = 100

const files = new Map(
  readdirSync(folder, { recursive: true, encoding: "utf8" })
    .filter((name) => /\.tsx?$/.test(name) && !name.endsWith(".d.ts"))
    .map((name) => [name.replaceAll("\\", "/"), readFileSync(join(folder, name), "utf8")] as const),
)

describe("what is found wrong", () => {
  test("a circle is named file by file", () => {
    const imports = new Map([
      ["a.ts", ["b.ts"]],
      ["b.ts", ["c.ts", "d.ts"]],
      ["c.ts", ["a.ts"]],
      ["d.ts", []],
    ])
    expect(circles(imports)).toEqual([["a.ts", "b.ts", "c.ts"]])
    imports.set("c.ts", ["d.ts"])
    expect(circles(imports)).toEqual([])
  })

  test("a long function is named with its lines", () => {
    const body = "  x()\n".repeat(120)
    expect(longFunctions(`export function Big({\n  a,\n}: Props) {\n${body}}\n`)).toEqual(["Big: 124 lines"])
    expect(longFunctions(`const Big = forwardRef((props) => {\n${body}})\n`)).toEqual(["Big: 122 lines"])
    expect(longFunctions(`const rows = [\n${body}]\nfunction small() {\n}\n`)).toEqual([])
  })
})

describe("playground/", () => {
  test("no file imports one that imports it, by whatever way round, types included", () => {
    const imports = new Map([...files].map(([name, text]) => [name, importsOf(name, text)] as const))
    expect([...imports.values()].flat().length).toBeGreaterThan(200)
    expect(circles(imports)).toEqual([])
  })

  test(`no component and no function is longer than ${longest} lines`, () => {
    const found = [...files].flatMap(([name, text]) =>
      longFunctions(text).map((which) => `${name}, ${which}`),
    )
    expect(found).toEqual([])
  })
})

/** Files of the playground that a file imports, workers (`?worker`) and what is loaded on demand among them. */
function importsOf(name: string, text: string): string[] {
  const paths = [...text.matchAll(/\b(?:from|import)\s*\(?\s*"(\.[^"?]+)(?:\?[^"]*)?"/g)]
  return paths.map((match) => join(dirname(name), match[1]!)).filter((path) => files.has(path))
}

/** One circle through each file from which a walk along the imports comes back to where it has been. */
function circles(imports: ReadonlyMap<string, readonly string[]>): string[][] {
  const done = new Set<string>()
  const found: string[][] = []
  const walk = (name: string, path: readonly string[]): void => {
    const at = path.indexOf(name)
    if (at >= 0) found.push(path.slice(at))
    if (at >= 0 || done.has(name)) return
    for (const next of imports.get(name) ?? []) walk(next, [...path, name])
    done.add(name)
  }
  for (const name of imports.keys()) walk(name, [])
  return found
}

/** Functions at the beginning of a line, as the formatter lays them out: they end at the next `}` of that column. */
function longFunctions(text: string): string[] {
  const lines = text.split("\n")
  const found: string[] = []
  lines.forEach((line, first) => {
    const name = /^(?:export )?(?:async )?(?:function\*? (\w+)|const (\w+) = .*(?:=> \{|\($))/.exec(line)
    if (!name) return
    const last = lines.findIndex((each, i) => i > first && /^\}\)*;?$/.test(each))
    const length = last - first + 1
    if (length > longest) found.push(`${name[1] ?? name[2]}: ${length} lines`)
  })
  return found
}
