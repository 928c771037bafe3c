import { execFileSync, spawnSync } from "node:child_process"
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import { isBuiltin } from "node:module"
import { tmpdir } from "node:os"
import { dirname, join } from "node:path"
import { gzipSync } from "node:zlib"
import ts from "@tsd/typescript"
import { afterAll, beforeAll, expect, test } from "vitest"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { bundled } from "./bundle.ts"
import { root } from "./parts.ts"

/** The package as a shop gets it: packed, and installed in an empty project. */
const project = mkdtempSync(join(tmpdir(), "ruleout-pack-"))
afterAll(() => rmSync(project, { recursive: true, force: true }))
let packed: { filename: string; size: number; files: { path: string }[] }

beforeAll(() => {
  const npm = (...args: string[]) =>
    execFileSync("npm", args, { cwd: project, encoding: "utf8", stdio: "pipe" })
  const ran = execFileSync("npm", ["pack", "--json", "--ignore-scripts", "--pack-destination", project], {
    cwd: root,
    encoding: "utf8",
    stdio: "pipe",
    maxBuffer: 1 << 26,
  })
  packed = JSON.parse(ran)[0]
  writeFileSync(join(project, "package.json"), '{ "private": true, "type": "module" }\n')
  npm("install", "--prefer-offline", "--no-audit", "--no-fund", "--ignore-scripts", `./${packed.filename}`)
}, 120_000)

const put = (name: string, text: string) => {
  writeFileSync(join(project, name), text)
  return name
}
const node = (...args: string[]) => {
  const ran = spawnSync(process.execPath, args, { cwd: project, encoding: "utf8" })
  expect(ran.stderr).toBe("")
  return ran.stdout
}

test("has what it needs and none of the workshop", () => {
  const paths = packed.files.map(({ path }) => path)
  for (const wanted of [
    "dist/compile.js",
    "dist/run/index.d.ts",
    "dist/cli/main.js",
    "dist/parts/bench.js",
    "dist/bench/ruleout-bench.js",
    "dist/schemas/graph.schema.json",
    "dist/editors/ruleout.tmLanguage.json",
    "compiler/reference/editors.md",
    "compiler/check/CODES.md",
    "compiler/reference/api/run.md",
    "rulesets/handbook/README.md",
    "rulesets/ticket-kiosk/ticket-kiosk.ruleout",
    "test/conformance/vectors/drawn-1.json",
    "LICENSE",
    "README.md",
  ])
    expect(paths).toContain(wanted)
  const workshop =
    /^(test\/(?!conformance\/(README|runner|vectors))|node_modules\/)|^rulesets\/.*\.ts$|^compiler\/.*(?<!\.md)$|\.env|\.key$/
  expect(paths.filter((path) => workshop.test(path))).toEqual([])
})

const installed = join(project, "node_modules/ruleout")

/** The files of the installed package with this ending, by their names in it, with their texts. */
const filesOf = (ending: RegExp) =>
  packed.files
    .map(({ path }) => path)
    .filter((path) => ending.test(path))
    .map((path) => ({ path, text: readFileSync(join(installed, path), "utf8") }))

test("no page links to one that isn't there", () => {
  const pages = filesOf(/\.md$/)
  expect(pages.length).toBeGreaterThan(30)
  const dead = pages.flatMap(({ path, text }) =>
    [...text.replace(/^```[\s\S]*?^```/gm, "").matchAll(/\]\(([^)#\s]+)(?:#[^)]*)?\)/g)]
      .map(([, link]) => link!)
      .filter((link) => !/^\w+:/.test(link) && !existsSync(join(installed, dirname(path), link)))
      .map((link) => `${path} links to ${link}`),
  )
  expect(dead).toEqual([])
})

test("no file imports one that isn't there, or a package that isn't a dependency", () => {
  const { dependencies } = JSON.parse(readFileSync(join(installed, "package.json"), "utf8"))
  const known = new Set([...Object.keys(dependencies), "@duckdb/node-api"])
  const files = filesOf(/\.(js|d\.ts)$/).filter(({ path }) => !path.startsWith("dist/parts/"))
  expect(files.length).toBeGreaterThan(400)
  const absent = files.flatMap(({ path, text }) =>
    [
      ...text
        .replace(/\/\*[\s\S]*?\*\//g, "")
        .matchAll(/^(?:import|export)\b[^"'\n]*\bfrom "([^"]+)"|\bimport\("([^"]+)"\)/gm),
    ]
      .map((match) => match[1] ?? match[2]!)
      .filter((from) => !isBuiltin(from))
      .filter((from) =>
        from.startsWith(".")
          ? !existsSync(join(installed, dirname(path), from))
          : !known.has(from.split("/", from.startsWith("@") ? 2 : 1).join("/")),
      )
      .map((from) => `${path} imports ${from}`),
  )
  expect(absent).toEqual([])
})

test("its pages are reached from the command line, in an empty folder", () => {
  const help = (topic: string) => node("node_modules/ruleout/dist/cli/main.js", "help", topic)
  for (const [topic, file] of [
    ["meaning", "compiler/reference/meaning.md"],
    ["glossary", "rulesets/handbook/glossary.md"],
    ["ticket-kiosk", "rulesets/ticket-kiosk/ticket-kiosk.ruleout"],
    ["types/run", "compiler/reference/api/run.md"],
  ] as const)
    expect(help(topic)).toBe(readFileSync(join(installed, file), "utf8"))
  expect(help("confounded")).toMatch(/^## confounded\n/)
})

test("compiles, runs, ships and verifies from one import each", () => {
  put("kiosk.ruleout", KIOSK_DARK)
  put(
    "use.js",
    `import { readFileSync } from "node:fs"
import { compile, graphText } from "ruleout"
import { open } from "ruleout/run"
import { seal, writeSvg } from "ruleout/ship"
import { verify } from "ruleout/verify"
import schema from "ruleout/schemas/graph.schema.json" with { type: "json" }

const { graph, diagnostics } = compile("kiosk.ruleout", (path) => readFileSync(path, "utf8"), { effort: 1000 })
const job = open(JSON.parse(graphText(graph))).find({ reading: "rail" }, "24.1 V")
const sealed = await seal(graph, { subtle: crypto.subtle })
const { signed } = await verify(sealed, { subtle: crypto.subtle })
console.log(JSON.stringify([diagnostics.filter(({ severity }) => severity === "error"), job.next.do, writeSvg(graph).slice(0, 4), signed, schema.$id]))
`,
  )
  expect(JSON.parse(node("--no-warnings", "use.js"))).toEqual([
    [],
    "test",
    "<svg",
    false,
    "urn:ruleout:graph:2",
  ])
})

/** The oldest that the types are held against; the newest is the one that the project itself uses. */
const compilers = [
  ["5.4.5", join(root, "node_modules/@tsd/typescript/typescript/lib/tsc.js")],
  ["the project's own", join(root, "node_modules/typescript/bin/tsc")],
] as const

test.each(compilers)("has types that hold without any others, libraries checked: TypeScript %s", (_, tsc) => {
  put(
    "use.ts",
    `import { compile, startCompile, type Change, type Compiled, type Graph, type Model, type PlanOptions, type Progress, type Span, type syntax } from "ruleout"
import { open, RunError, type FaultIndex, type Session } from "ruleout/run"
import { makeService, type Completion } from "ruleout/service"
import { writeDmn, writePage } from "ruleout/ship"
import { verify, type Verified } from "ruleout/verify"

const options: PlanOptions = { effort: 1000 }
const compiled: Compiled = compile("a.ruleout", (path: string) => (path === "a.ruleout" ? "" : undefined), options)
const graph: Graph | undefined = compiled.graph
const model: Model | undefined = compiled.model
const tree: syntax.Tree | undefined = compiled.trees[0]
const progress: Progress | undefined = startCompile("a.ruleout", () => "").progress
const changes: readonly Change[] = compiled.diagnostics.flatMap(({ edits }) => edits.flatMap((edit) => edit.changes))
const span: Span | undefined = changes[0]?.span
if (graph) {
  const job: Session = open(graph).undo(0)
  const fault: FaultIndex | undefined = job.candidates[0]?.fault
  const text: string = writeDmn(graph) + writePage(graph, { script: "", style: "" })
  console.log(job.candidates[0]?.info?.label.length, text, RunError, fault, model, tree, progress, span)
}
export const completions: readonly Completion[] = makeService().complete("a.ruleout", 0)
export const seal = (subtle: SubtleCrypto): Promise<Verified> => verify(graph, { subtle, key: "" })
// @ts-expect-error a path is needed
compile()
`,
  )
  const compilerOptions = {
    ...{ strict: true, exactOptionalPropertyTypes: true, skipLibCheck: false },
    ...{ target: "es2022", module: "nodenext", types: [], noEmit: true },
  }
  put("tsconfig.json", JSON.stringify({ compilerOptions, files: ["use.ts"] }))
  const out = spawnSync(process.execPath, [tsc, "-p", "tsconfig.json"], { cwd: project, encoding: "utf8" })
  expect(out.stdout).toBe("")
  expect(out.status).toBe(0)
})

test("each public name has its place on the pages about the types; `npm run pages` writes them", () => {
  const entries = {
    compile: "compile",
    run: "run/index",
    ship: "ship/index",
    verify: "ship/verify",
    service: "service/index",
  }
  const files = Object.values(entries).map((name) => join(installed, "dist", `${name}.d.ts`))
  const program = ts.createProgram(files, { module: ts.ModuleKind.NodeNext, skipLibCheck: true })
  const checker = program.getTypeChecker()
  const missing = Object.keys(entries).flatMap((page, i) => {
    const text = readFileSync(join(installed, `compiler/reference/api/${page}.md`), "utf8")
    const module = checker.getSymbolAtLocation(program.getSourceFile(files[i]!)!)!
    const names = checker.getExportsOfModule(module).map(({ name }) => name)
    expect(names.length).toBeGreaterThan(3)
    const has = (name: string) =>
      new RegExp(`^### (?:abstract )?${name}(?:\\(\\)|\\\\?<.*)?$|^- \\[${name}\\]`, "m").test(text)
    return names.filter((name) => !has(name)).map((name) => `${name} on ${page}.md`)
  })
  expect(missing).toEqual([])
})

test("gives the command line", () => {
  expect(
    node(
      "node_modules/ruleout/dist/cli/main.js",
      "ship",
      "kiosk.ruleout",
      "--effort",
      "1000",
      "--to",
      "page",
      "--out",
      "-",
    ),
  ).toMatch(/^<!doctype html>/)
})

test("is tree-shaken to what is used", async () => {
  const size = async (text: string) => {
    mkdirSync(join(project, "shake"), { recursive: true })
    const entry = join(project, "shake", "entry.js")
    writeFileSync(entry, text)
    return gzipSync(await bundled(entry, "es", true), { level: 9 }).length
  }
  const whole = await size('export { compile } from "ruleout"')
  expect(await size('export { VERSION } from "ruleout"')).toBeLessThan(200)
  expect(await size('export { graphText } from "ruleout"')).toBeLessThan(1000)
  expect(await size('export { verify } from "ruleout/verify"')).toBeLessThan(2000)
  expect(await size('export { open } from "ruleout/run"')).toBeLessThan(whole / 4)
  // The element is defined by being imported, so nothing may leave it out.
  const { sideEffects } = JSON.parse(
    readFileSync(join(project, "node_modules/ruleout/package.json"), "utf8"),
  ) as { sideEffects: unknown }
  expect(sideEffects).toEqual(["./dist/bench/ruleout-bench.js"])
})

/** Bytes, gzipped, with its style: what a page pays for the bench. */
const BENCH_BUDGET = 48 * 1024

test(`gives the bench as one file of at most ${BENCH_BUDGET} bytes, without imports`, () => {
  const code = readFileSync(join(project, "node_modules/ruleout/dist/bench/ruleout-bench.js"), "utf8")
  expect(code).not.toMatch(/\bimport\b\s*[({"'\w]/)
  expect(gzipSync(code, { level: 9 }).length).toBeLessThanOrEqual(BENCH_BUDGET)
})
