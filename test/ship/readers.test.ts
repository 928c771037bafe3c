import { spawnSync } from "node:child_process"
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { pathToFileURL } from "node:url"
import { DuckDBInstance } from "@duckdb/node-api"
import { Ajv2020 } from "ajv/dist/2020.js"
import MarkdownIt from "markdown-it"
import type { Page } from "playwright-core"
import { afterAll, describe, expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { graphText } from "../../compiler/graph/text.ts"
import { type ActionStep, type Found, type Graph, open, type Session } from "../../compiler/run/index.ts"
import { actTitle } from "../../compiler/ship/act-labels.ts"
import {
  writeDot,
  writeJsonSchema,
  writeMarkdown,
  writeModule,
  writeModuleTypes,
  writePage,
  writeSvg,
} from "../../compiler/ship/index.ts"
import { isStep, kindOf } from "../../compiler/ship/labels.ts"
import { sqlParts } from "../../compiler/ship/sql.ts"
import { graphviz } from "../support/graphviz.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { seeded } from "../support/models.ts"
import { ASK, insertCases, runnerSays, sqlCase } from "../support/sql-cases.ts"
import { browser } from "./browser.ts"
import { flagship, flagshipCases, kiosk, moduleParts, pageParts, root } from "./parts.ts"
import { elementsOf } from "./xml.ts"

/** Each export of the flagship, opened by somebody else's reader. */
const graph = flagship()
const folder = mkdtempSync(join(tmpdir(), "ruleout-ship-"))
afterAll(() => rmSync(folder, { recursive: true, force: true }))
const put = (name: string, text: string) => {
  const path = join(folder, name)
  writeFileSync(path, text)
  return path
}
const openPage = browser()

/**
 * A job that goes well, though not at the first step: after it the complaint is gone whenever it can be, else what is
 * likeliest is found.
 */
function wellFound({ next, log }: Session) {
  if (!("outcomes" in next)) throw new Error("the job is done")
  const gone = next.outcomes.find(({ found }) => found === "gone")
  const others = next.outcomes.filter((outcome) => outcome !== gone)
  return (log.length > 0 && gone ? gone : others.reduce((a, b) => (b.chance > a.chance ? b : a))).found
}

describe("dot, by Graphviz", () => {
  const read = (text: string) => JSON.parse(graphviz(text, "dot_json"))

  test("has every node and every way from one to another", () => {
    const { objects, edges: drawn } = read(writeDot(graph))
    // One more for the end of the job.
    expect(objects).toHaveLength(graph.nodes.length + 1)
    const ways = new Set(
      graph.nodes.flatMap((node, n) =>
        isStep(node) ? node.edges.map(({ to }) => `n${n} ${to === undefined ? "end" : `n${to}`}`) : [],
      ),
    )
    expect(drawn).toHaveLength(ways.size)
    const index = (gvid: number) => objects[gvid].name
    for (const { tail, head } of drawn) expect(ways).toContain(`${index(tail)} ${index(head)}`)
  })

  test("without the unlikely has no loose end, and is drawn", () => {
    const text = writeDot(graph, { least: 0.01 })
    const { objects, edges: drawn } = read(text)
    expect(objects.length).toBeLessThan(graph.nodes.length)
    expect(new Set(drawn.map(({ head }: { head: number }) => head)).size).toBe(objects.length - 1)
    expect(elementsOf(graphviz(text, "svg").replace(/<!DOCTYPE[^>]*>/, "")).length).toBeGreaterThan(
      objects.length,
    )
  })
})

describe("svg, by libxml2 and Chromium", () => {
  test("has each step once and says what it leaves out", async () => {
    const whole = elementsOf(writeSvg(graph, { least: 0 }))
    const kinds = whole.filter(({ name }) => name === "g").map(({ attributes }) => attributes.class)
    const steps = graph.nodes.filter(isStep)
    for (const kind of new Set(steps.map((node) => kindOf(graph, node))))
      expect(kinds.filter((each) => each === kind)).toHaveLength(
        steps.filter((node) => kindOf(graph, node) === kind).length,
      )
    expect(kinds.filter((kind) => kind === "folded")).toEqual([])
    const part = elementsOf(writeSvg(graph, { least: 0.01 }))
    expect(part.find(({ name }) => name === "desc")!.text).toMatch(
      / of jobs stay within the picture, [\d,]+ less/,
    )
  })

  test("is drawn, no box over another", async () => {
    const page = await openPage()
    await page.goto(pathToFileURL(put("flagship.svg", writeSvg(graph))).href)
    const boxes = await page.locator("rect.box").evaluateAll((all) =>
      all.map((box) => {
        const { x, y, width, height } = box.getBoundingClientRect()
        return { x, y, width, height }
      }),
    )
    expect(boxes.length).toBeGreaterThan(50)
    const over = boxes.flatMap((a, i) =>
      boxes.filter(
        (b, j) =>
          j > i && a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height,
      ),
    )
    expect(over).toEqual([])
  })
})

describe("markdown, by a CommonMark parser", () => {
  const tokens = new MarkdownIt().parse(writeMarkdown(graph, { least: 0 }), {})
  const texts = (type: string) =>
    tokens.flatMap((token, i) => (token.type === type ? [tokens[i + 1]!.content] : []))

  test("has every step, in the order of their numbers, and no way into nowhere", () => {
    const steps = texts("heading_open").filter((heading) => heading.startsWith("Step "))
    expect(steps.map((step) => Number.parseInt(step.slice(5), 10))).toEqual(
      graph.nodes.filter(isStep).map((_, i) => i + 1),
    )
    const next = tokens.flatMap(({ content }) =>
      [...content.matchAll(/: step (\d+)\./g)].map((m) => Number(m[1])),
    )
    expect(new Set(next).size).toBe(steps.length - 1)
    expect(Math.max(...next)).toBe(steps.length)
  })

  test("has every caution of a step in it, and every limit", () => {
    const text = tokens.map(({ content }) => content.replaceAll("\\", "")).join("\n")
    for (const { cautions } of graph.tests) for (const caution of cautions) expect(text).toContain(caution)
    for (const { cells, told } of graph.readings)
      if (!told) for (const { label } of cells) expect(text).toContain(label)
    expect(tokens.filter(({ type }) => type === "tr_open")).toHaveLength(
      1 + graph.readings.filter(({ told }) => !told).length,
    )
  })
})

describe("jsonschema, by ajv", () => {
  const schema = JSON.parse(writeJsonSchema(graph))
  const ajv = new Ajv2020({
    strict: true,
    strictTypes: false,
    strictTuples: false,
    allowUnionTypes: true,
    formats: { date: true },
  })
  const isCase = ajv.compile(schema)
  const isGraph = ajv.getSchema("urn:ruleout:graph:2")!

  test("takes the graphs that we write, and the flagship's cases", () => {
    for (const each of [graph, kiosk])
      expect(isGraph(JSON.parse(graphText(each))), JSON.stringify(isGraph.errors)).toBe(true)
    const cases = flagshipCases.split("\n").filter(Boolean)
    expect(cases.length).toBeGreaterThan(20)
    for (const line of cases) expect(isCase(JSON.parse(line)), JSON.stringify(isCase.errors)).toBe(true)
  })

  test.each([
    { complaint: "other" },
    { told: { debug_light: "dark" } },
    { steps: [{ test: "no_such_test", found: "gone" }] },
    { steps: [{ putBack: "feed", found: "gone" }] },
    { steps: [{ replace: "feed", found: "gone" }] },
    { steps: [{ fix: "no_such_fault", found: "gone" }] },
    { steps: [{ close: true, found: "gone" }] },
    { steps: [{ found: { no_such_reading: "1" } }] },
  ])("refuses what this ruleset does not know: %j", (wrong) => {
    expect(isCase({ id: "K-1", steps: [], ...wrong })).toBe(false)
    expect(isCase({ id: "K-1", steps: [], fault: "not_listed_yet" })).toBe(true)
  })

  test.each(["format", "nodes", "model", "ruleset"])("refuses a graph without its `%s`", (field) => {
    const { [field]: _, ...rest } = JSON.parse(graphText(kiosk))
    expect(isGraph(rest)).toBe(false)
  })
})

describe("sql, by DuckDB", () => {
  async function endings(of: Graph, filled: string): Promise<string[]> {
    const { graph: tables, replay } = sqlParts(of)
    const connection = await (await DuckDBInstance.create(":memory:")).connect()
    await connection.run([tables, filled, replay].join("\n"))
    const rows = (await connection.runAndReadAll(`${ASK} ORDER BY case_id`)).getRows()
    connection.closeSync()
    return rows.map((row) => row.map((cell) => cell ?? "").join(","))
  }

  test("walks cases through the flagship as the runner does", async () => {
    const draw = seeded(23)
    const cases = Array.from({ length: 100 }, (_, i) => sqlCase(graph, draw, `c${i}`))
    expect(await endings(graph, insertCases(cases))).toEqual(cases.map(runnerSays(graph)).sort())
  }, 60_000)

  test("takes the reference's own example", async () => {
    const page = readFileSync(join(root, "compiler/reference/shipping.md"), "utf8")
    const filled = /```sql\n([\s\S]*?)```/.exec(page)![1]!
    // The page speaks of the plan that the command line finds; less effort finds the same way for these two.
    const { graph: planned } = compile("kiosk.ruleout", () => KIOSK_DARK, { effort: 8000 })
    expect(await endings(planned!, filled)).toEqual(["K-1,5,closed,,1,70,0", "K-2,0,open,look_glow,0,0,"])
  })
})

describe("the module, by Node", () => {
  test("runs a job, and imports nothing", async () => {
    const text = writeModule(graph, moduleParts)
    expect(text).not.toMatch(/^\s*import\b|\bimport\(|\brequire\(/m)
    const shipped = await import(pathToFileURL(put("flagship.mjs", text)).href)
    expect(shipped.graph).toEqual(JSON.parse(graphText(graph)))
    let [there, here] = [shipped.start(), open(graph)]
    for (let n = 0; "outcomes" in here.next && n < 8; n++) {
      const { found } = here.next.outcomes[n % here.next.outcomes.length]!
      ;[there, here] = [there.answer(found), here.answer(found)]
      expect(there.next).toEqual(here.next)
    }
    expect(there.candidates).toEqual(here.candidates)
    expect(() => shipped.open({})).toThrow(shipped.RunError)
  })

  test("runs as a module in a bare engine", () => {
    const path = put("bare.mjs", writeModule(kiosk, moduleParts))
    const host = `
      import { createContext, SourceTextModule } from "node:vm"
      import { readFileSync } from "node:fs"
      const context = createContext(Object.create(null), { codeGeneration: { strings: false, wasm: false } })
      const shipped = new SourceTextModule(readFileSync(${JSON.stringify(path)}, "utf8"), { context })
      await shipped.link(() => { throw new Error("it imports something") })
      await shipped.evaluate()
      console.log(JSON.stringify(shipped.namespace.start().next.act))`
    const ran = spawnSync(
      process.execPath,
      ["--no-warnings", "--experimental-vm-modules", "--input-type=module", "-e", host],
      { encoding: "utf8" },
    )
    const { next } = open(kiosk)
    expect(ran.stderr).toBe("")
    expect(JSON.parse(ran.stdout)).toEqual("act" in next && next.act)
  })

  test("runs in Chromium", async () => {
    const page = await openPage()
    const text = writeModule(kiosk, moduleParts)
    // In words of its own: what a test imports is rewritten for the tests.
    const host = `(async () => {
      const text = ${JSON.stringify(text)}
      const address = URL.createObjectURL(new Blob([text], { type: "text/javascript" }))
      const { start } = await import(address)
      return start().find({ reading: "rail" }, "24100 mV").candidates[0].info.label
    })()`
    const label = await page.evaluate(host)
    expect(label).toBe(open(kiosk).find({ reading: "rail" }, "24.1 V").candidates[0]!.info!.label)
  })

  test("has types that stand by themselves", () => {
    put("typed.mjs", writeModule(kiosk, moduleParts))
    put("typed.d.mts", writeModuleTypes(moduleParts))
    const uses = put(
      "uses.mts",
      `import { graph, open, RunError, start, type Session, type Step } from "./typed.mjs"
const job: Session = start().find({ reading: "rail" }, "24.1 V")
const step: Step = job.next
if ("outcomes" in step) job.answer(step.outcomes[0]!.found)
export const title: string = graph.ruleset.title
export const again: Session = open(graph)
export const failed = (problem: unknown): boolean => problem instanceof RunError
// @ts-expect-error there is no such step
export const wrong: "none" = step.do
`,
    )
    const tsc = join(root, "node_modules/typescript/bin/tsc")
    const ran = spawnSync(
      process.execPath,
      [tsc, "--noEmit", "--strict", "--target", "es2022", "--module", "nodenext", "--types", "", uses],
      { encoding: "utf8", cwd: folder },
    )
    expect(ran.stdout).toBe("")
  })
})

/** Answers the step at hand as a technician does: by a button, or by the fields of a form. */
async function answerOnPage(page: Page, { reads }: ActionStep, found: Found): Promise<void> {
  if (found === "gone") await page.getByRole("button", { name: "Gone" }).click()
  else if (found === "stays") await page.getByRole("button", { name: "Stays" }).click()
  else if (typeof found === "string") await page.locator(".answers .main.big").click()
  else if (reads.length === 1 && reads[0]!.unit === undefined)
    await page.locator(".choices button").nth(found[0]!).click()
  else {
    const sheet = page.locator(".sheet")
    for (const [i, { question, unit, cells }] of reads.entries()) {
      const cell = found[i]!
      if (unit !== undefined) await sheet.getByLabel(question).fill(String(cells[cell]!.from))
      else await sheet.getByRole("group", { name: question }).getByRole("radio").nth(cell).check()
    }
    await sheet.locator(".main.big").click()
  }
}

describe("the page, by Chromium without a network", () => {
  test("walks a job to its end under a policy that lets nothing else run", async () => {
    const page = await openPage()
    const complaints: string[] = []
    page.on("pageerror", (error) => complaints.push(error.message))
    page.on("console", (message) => complaints.push(message.text()))
    await page.goto(pathToFileURL(put("flagship.html", writePage(graph, pageParts))).href)
    await page.locator(".instruction").waitFor()
    let job = open(graph)
    for (; "act" in job.next && job.next.do !== "close"; job = job.answer(wellFound(job))) {
      const title = actTitle(graph, job.next.act)
      await expect.poll(() => page.locator(".instruction").textContent()).toBe(title)
      await answerOnPage(page, job.next, wellFound(job))
    }
    expect(job.log.length).toBeGreaterThan(1)
    if (job.next.do !== "close") throw new Error("jobs that go well are closed")
    for (const [i, { times }] of job.next.proofRuns.entries())
      for (let n = 0; n < times; n++) await page.locator("li.proof").nth(i).locator("button").first().click()
    await page.getByRole("button", { name: "close the job" }).click()
    await page.getByRole("button", { name: "Record the job" }).waitFor()
    expect(complaints).toEqual([])

    const policy = page.evaluate(() => {
      const refused = new Promise<string>((done) =>
        document.addEventListener("securitypolicyviolation", (event) => done(event.effectiveDirective)),
      )
      const script = document.createElement("script")
      script.textContent = "document.title = 'owned'"
      document.body.append(script)
      return refused
    })
    expect(await policy).toBe("script-src-elem")
    expect(await page.title()).toBe(graph.ruleset.title)
  })

  test("prints on A4, in few pages", async () => {
    const page = await openPage()
    await page.goto(pathToFileURL(put("print.html", writePage(graph, pageParts))).href)
    await page.locator(".instruction").waitFor()
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString("latin1")
    const sizes = [...pdf.matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)].map((m) => [
      Number(m[1]),
      Number(m[2]),
    ])
    expect(sizes.length).toBeGreaterThan(0)
    expect(sizes.length).toBeLessThan(6)
    // 210 by 297 mm (ISO 216) in points of 1/72 inch.
    for (const [width, height] of sizes) {
      expect(width).toBeCloseTo(595.3, -0.5)
      expect(height).toBeCloseTo(841.9, -0.5)
    }
    await page.emulateMedia({ media: "print" })
    expect(await page.getByRole("button", { name: "Print" }).isVisible()).toBe(false)
  })
})
