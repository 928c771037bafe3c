import { readdirSync, readFileSync } from "node:fs"
import { dirname, join, normalize, sep } from "node:path"
import { expect, test } from "vitest"

const root = join(import.meta.dirname, "../../compiler/cases")

/** A folder imports only from those before it. */
const order = ["stats", "record", "table", "replay", "worlds", "report", "fit", "compare"]

const imports = new Map(
  readdirSync(root, { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".ts"))
    .map((name) => {
      const text = readFileSync(join(root, name), "utf8")
      const paths = [...text.matchAll(/\bfrom "(\.[^"]+)"/g)].map((match) =>
        normalize(join(dirname(name), match[1]!)),
      )
      return [name, paths.filter((path) => !path.startsWith(".."))] as const
    }),
)

test("every folder imports only from those before it", () => {
  const folderOf = (name: string) => order.indexOf(name.split(sep)[0]!)
  expect(imports.size).toBeGreaterThan(40)
  const wrong = [...imports].flatMap(([name, paths]) =>
    paths.filter((path) => folderOf(path) > folderOf(name)).map((path) => `${name} imports ${path}`),
  )
  expect(wrong).toEqual([])
  expect([...imports.keys()].filter((name) => folderOf(name) < 0)).toEqual([])
})

test("no file imports one that imports it, however far around", () => {
  const reaches = (from: string, to: string, seen = new Set<string>()): boolean =>
    (imports.get(from) ?? []).some(
      (path) => path === to || (!seen.has(path) && seen.add(path) && reaches(path, to, seen)),
    )
  expect([...imports.keys()].filter((name) => reaches(name, name))).toEqual([])
})
