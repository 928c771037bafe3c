import { execFileSync, spawnSync } from "node:child_process"
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { gzipSync } from "node:zlib"
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
    "LICENSE",
    "README.md",
  ])
    expect(paths).toContain(wanted)
  const workshop = /^(test|node_modules)\/|^compiler\/.*(?<!\.md)$|\.env|\.key$/
  expect(paths.filter((path) => workshop.test(path))).toEqual([])
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

test("has types that hold without any others", () => {
  put(
    "use.ts",
    `import { compile, type Compiled, type Graph } from "ruleout"
import { open, RunError, type Session } from "ruleout/run"
import { writeDmn, writePage } from "ruleout/ship"
import { verify, type Verified } from "ruleout/verify"
import type { BenchElement } from "ruleout/bench"

const bench: BenchElement = document.createElement("ruleout-bench")
bench.addEventListener("ruleout-record", ({ detail }) => console.log(detail.record.steps.length))
// @ts-expect-error a step has no record
bench.addEventListener("ruleout-step", ({ detail }) => console.log(detail.record))

const compiled: Compiled = compile("a.ruleout", (path: string) => (path === "a.ruleout" ? "" : undefined))
const graph: Graph | undefined = compiled.graph
if (graph) {
  const job: Session = open(graph).undo(0)
  const text: string = writeDmn(graph) + writePage(graph, { script: "", style: "" })
  console.log(job.candidates[0]?.info?.label.length, text, RunError)
}
export const seal = (subtle: SubtleCrypto): Promise<Verified> => verify(graph, { subtle, key: "" })
// @ts-expect-error a path is needed
compile()
`,
  )
  const tsc = join(root, "node_modules/typescript/bin/tsc")
  const options = ["--strict", "--exactOptionalPropertyTypes", "--target", "es2022", "--module", "nodenext"]
  const out = spawnSync(process.execPath, [tsc, "--noEmit", ...options, "--types", "", "use.ts"], {
    cwd: project,
    encoding: "utf8",
  })
  expect(out.stdout).toBe("")
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
const BENCH_BUDGET = 41.5 * 1024

test(`gives the bench as one file of at most ${BENCH_BUDGET} bytes, without imports`, () => {
  const code = readFileSync(join(project, "node_modules/ruleout/dist/bench/ruleout-bench.js"), "utf8")
  expect(code).not.toMatch(/\bimport\b\s*[({"'\w]/)
  expect(gzipSync(code, { level: 9 }).length).toBeLessThanOrEqual(BENCH_BUDGET)
})
