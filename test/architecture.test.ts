import { existsSync, readdirSync, readFileSync } from "node:fs"
import { dirname, join, relative, sep } from "node:path"
import { describe, expect, test } from "vitest"
import { sourceFiles } from "./support/source-files.ts"

const root = join(import.meta.dirname, "..")

/** A folder imports only from those before it; `run` imports nothing at all. */
const order = [
  "diagnostics",
  "wording",
  "run",
  "syntax",
  "model",
  "plan",
  "check",
  "graph",
  "cases",
  "ship",
  "service",
  "cli",
]

/** In a folder with rooms of its own: a room imports only from those before it; "" are the files beside the rooms. */
const rooms: Readonly<Record<string, readonly string[]>> = {
  syntax: ["", "language", "lexer", "recovery", "parser", "format"],
  check: ["logic", "proofs", "codes"],
  cases: ["stats", "record", "table", "replay", "worlds", "report", "fit", "compare", "scenarios"],
  cli: ["io", "bench", "lsp", "serve", "commands", ""],
}

/** What makes a result depend on the machine, the moment or the luck; `compiler/cli/` alone may. */
const impure: readonly (readonly [string, RegExp])[] = [
  ["a node: module", /\bfrom\s+"node:|\bimport\(\s*"node:|\bimport\s+"node:|(?<![.#\w])require\s*\(/],
  ["the clock", /\bDate\b(?!\.UTC\b)|\bperformance\s*\.|\bTemporal\b/],
  ["randomness", /\bMath\s*\.\s*random\b|\bcrypto\s*\./],
  ["a timer", /\b(?:setTimeout|setInterval|setImmediate|requestAnimationFrame|queueMicrotask)\s*\(/],
  ["the host", /\bprocess\s*\.|\bglobalThis\b|\bconsole\s*\.|\bBuffer\b/],
  ["the network", /\bfetch\s*\(|\bXMLHttpRequest\b|\bWebSocket\b/],
  ["the page", /\bdocument\s*\.|\bwindow\s*\.|\blocalStorage\b|\bindexedDB\b|\bnavigator\s*\./],
]

/** Tests of the whole from outside. */
const OF_NO_FOLDER = /^(?:published|conformance|browser|bench|support)\b/

/** Longer than this is not read in one sitting. */
const longest = 400

const files = readdirSync(join(root, "compiler"), { recursive: true, encoding: "utf8" })
  .filter((name) => name.endsWith(".ts"))
  .map((name) => ({
    name: name.split(sep).join("/"),
    text: readFileSync(join(root, "compiler", name), "utf8"),
  }))

const folderOf = (name: string) => (name.includes("/") ? name.split("/")[0]! : "")

describe("what is found wrong with a file", () => {
  test("imports, purity and length are seen where they are wrong", () => {
    const bad = `import { a } from "../cli/a"\nexport const b = Date.now() + Math.random()\n`
    expect(importFaults("plan/b.ts", bad)).toEqual([
      "plan/b.ts imports ../cli/a: relative imports end in .ts",
      "plan/b.ts imports ../cli/a: plan may not use cli",
    ])
    expect(impurities(bad)).toEqual(["the clock", "randomness"])
    expect(impurities(`// the Date of a case\nconst s = "Math.random is a word"\n`)).toEqual([])
  })

  test("circles of imports are found, however long, and each only once", () => {
    const imports = new Map([
      ["a.ts", ["b.ts"]],
      ["b.ts", ["c.ts", "d.ts"]],
      ["c.ts", ["a.ts"]],
      ["d.ts", ["e.ts"]],
      ["e.ts", []],
      ["f.ts", ["f.ts"]],
    ])
    expect(circles(imports)).toEqual(["a.ts, b.ts, c.ts", "f.ts"])
  })
})

describe("compiler/", () => {
  test("has the folders that the order names, and no others", () => {
    const folders = [...new Set(files.map((file) => folderOf(file.name)))].filter((name) => name !== "")
    expect(folders.filter((name) => !order.includes(name))).toEqual([])
  })

  test("imports only go up the order, to files that exist, with their ending", () => {
    expect(files.flatMap((file) => importFaults(file.name, file.text))).toEqual([])
  })

  test.each(Object.entries(rooms))(
    "%s/ is divided into rooms, which import only up their order",
    (folder, names) => {
      const roomOf = (name: string) => names.indexOf(name.split("/").slice(1, -1).join("/"))
      const isFree = (name: string) => !names.includes("") && !name.slice(folder.length + 1).includes("/")
      const inside = files.filter(({ name }) => folderOf(name) === folder && !isFree(name))
      expect(inside.filter(({ name }) => roomOf(name) < 0).map(({ name }) => name)).toEqual([])
      const wrong = inside.flatMap(({ name, text }) =>
        importedFiles(name, text)
          .filter((path) => folderOf(path) === folder && !isFree(path) && roomOf(path) > roomOf(name))
          .map((path) => `${name} imports ${path}`),
      )
      expect(wrong).toEqual([])
    },
  )

  test("has no file that imports one that imports it, however many files lie between", () => {
    const imports = new Map(files.map(({ name, text }) => [name, importedFiles(name, text)]))
    expect(circles(imports)).toEqual([])
  })

  test("only syntax/ sees the parser library", () => {
    const seers = files.filter((file) => importsOf(file.text).includes("chevrotain"))
    expect([...new Set(seers.map((file) => folderOf(file.name)))]).toEqual(["syntax"])
  })

  test("run/ imports nothing from anywhere else", () => {
    const outside = files
      .filter((file) => folderOf(file.name) === "run")
      .flatMap((file) => importsOf(file.text).filter((path) => !/^\.\/[^/]+\.ts$/.test(path)))
    expect(outside).toEqual([])
  })

  test("is pure outside of cli/", () => {
    const found = files
      .filter((file) => folderOf(file.name) !== "cli")
      .flatMap((file) => impurities(file.text).map((what) => `${file.name} uses ${what}`))
    expect(found).toEqual([])
  })

  test(`has no file longer than ${longest} lines`, () => {
    const lines = (text: string) => text.split("\n").length - 1
    expect(files.filter((file) => lines(file.text) > longest).map((file) => file.name)).toEqual([])
  })
})

test("nor have playground/, rulesets/ and the supports of tests", () => {
  const sources = sourceFiles("playground", "rulesets", "test/support")
  const imports = new Map(sources.map(({ file, text }) => [file, importedFiles(file, text)]))
  expect(imports.size).toBeGreaterThan(150)
  expect(circles(imports)).toEqual([])
})

test("tests lie in folders that are called as those they are about", () => {
  const tests = sourceFiles("test").filter(({ file }) => file.endsWith(".test.ts"))
  const about = tests.map(({ file }) => dirname(file).replace(/^test\/?/, "")).filter((path) => path !== "")
  const places = [...new Set(about)].filter((path) => !OF_NO_FOLDER.test(path))
  expect(places.length).toBeGreaterThan(15)
  expect(places.filter((path) => !existsSync(join(root, "compiler", path)))).toEqual([])
})

describe("the repository", () => {
  test("speaks of no place on somebody's machine", () => {
    const sources = ["compiler", "playground", "rulesets", "test"]
      .flatMap((top) =>
        readdirSync(join(root, top), { recursive: true, encoding: "utf8" }).map((n) => join(top, n)),
      )
      .filter((name) => /\.(?:ts|tsx|md|json|jsonl|ruleout|html|css|csv)$/.test(name))
    expect(sources.length).toBeGreaterThan(20)
    const place = /(?<![\w.*/])\/(?:home|root|work|mnt|Users)\//
    expect(sources.filter((name) => place.test(readFileSync(join(root, name), "utf8")))).toEqual([])
  })
})

function importsOf(text: string): string[] {
  const code = withoutComments(text)
  return [...code.matchAll(/\b(?:from|import)\s*\(?\s*"([^"]+)"/g)].map((match) => match[1]!)
}

/** The TypeScript files that a file imports, types included; both by their path in `compiler/`, or both in the repository. */
function importedFiles(name: string, text: string): string[] {
  return importsOf(text)
    .filter((path) => path.startsWith(".") && /\.tsx?$/.test(path))
    .map((path) => targetOf(name, path))
}

function targetOf(name: string, path: string): string {
  return relative(join(root, "compiler"), join(root, "compiler", dirname(name), path))
    .split(sep)
    .join("/")
}

/** Groups of files of which each imports, over some steps, all the others of its group; in alphabetical order. */
function circles(imports: ReadonlyMap<string, readonly string[]>): string[] {
  const reached = new Map([...imports.keys()].map((name) => [name, reachedFrom(imports, name)]))
  const groups = new Set<string>()
  for (const [name, others] of reached) {
    if (!others.has(name)) continue
    groups.add(
      [...others]
        .filter((other) => reached.get(other)?.has(name))
        .sort()
        .join(", "),
    )
  }
  return [...groups].sort()
}

function reachedFrom(imports: ReadonlyMap<string, readonly string[]>, start: string): Set<string> {
  const reached = new Set<string>()
  const open = [start]
  for (let name = open.pop(); name !== undefined; name = open.pop()) {
    for (const next of imports.get(name) ?? []) {
      if (reached.has(next)) continue
      reached.add(next)
      open.push(next)
    }
  }
  return reached
}

function importFaults(name: string, text: string): string[] {
  const faults: string[] = []
  const here = folderOf(name)
  for (const path of importsOf(text)) {
    const wrong = (why: string) => faults.push(`${name} imports ${path}: ${why}`)
    if (!path.startsWith(".")) continue
    if (!/\.(?:ts|json)$/.test(path)) wrong("relative imports end in .ts")
    const target = targetOf(name, path)
    if (target.startsWith("..")) wrong("it lies outside of compiler/")
    else if (/\.ts$/.test(path) && !existsSync(join(root, "compiler", target))) wrong("there is no such file")
    // `compile.ts` ties the stages together; only the thin shells may use it.
    const there = folderOf(target)
    const mayUse = here === "" || here === "service" || here === "cli"
    if (there === "" ? !mayUse : here !== "" && order.indexOf(there) > order.indexOf(here)) {
      wrong(`${here} may not use ${there || target}`)
    }
  }
  return faults
}

function impurities(text: string): string[] {
  const code = withoutComments(text)
  const bare = code.replace(/"(?:[^"\\\n]|\\.)*"/g, '""')
  return impure
    .filter(([what, use]) => use.test(what === "a node: module" ? code : bare))
    .map(([what]) => what)
}

function withoutComments(text: string): string {
  return text.replace(/\/\*[\s\S]*?\*\//g, "").replace(/(^|\s)\/\/.*$/gm, "$1")
}
