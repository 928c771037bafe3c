import { type Browser, chromium as engine, type Page } from "playwright-core"
import { afterAll, beforeAll } from "vitest"
import { chromium, chromiumFlags } from "../support/chromium.ts"
import { bundled } from "./bundle.ts"

/** One Chromium without a network for a file of tests; each call opens a fresh page in it. */
export function browser(): () => Promise<Page> {
  let running: Browser
  beforeAll(async () => {
    running = await engine.launch({ executablePath: chromium(), args: chromiumFlags })
  }, 120_000)
  afterAll(() => running.close())
  return async () => {
    const context = await running.newContext({ offline: true })
    context.setDefaultTimeout(15_000)
    return context.newPage()
  }
}

export interface DmnTable {
  readonly version: string
  readonly inputs: readonly string[]
  /** `trust` is in percent. */
  readonly rows: readonly {
    tests: readonly string[]
    out: string
    trust: string
    notes: readonly string[]
  }[]
  /** Expressions of the other decisions, by name. */
  readonly decisions: Readonly<Record<string, string>>
}

/** The model as a general reader of DMN has it; it is written for browsers. */
export async function readDmn(page: Page, xml: string): Promise<DmnTable> {
  await page.addScriptTag({
    content: await bundled("node_modules/@kie-tools/dmn-marshaller/dist/index.js", "iife"),
  })
  return page.evaluate((text) => {
    // biome-ignore-start lint/suspicious/noExplicitAny: the reader's types name all that any decision model may hold
    const marshaller = (globalThis as any).bundle.getMarshaller(text, { upgradeTo: "latest" })
    const elements: any[] = marshaller.parser.parse().definitions.drgElement
    const decisions = elements.filter((each) => each.__$$element === "decision")
    const plain = (each: any): string => each.text?.__$$text ?? ""
    const { expression } = decisions.find((each) => each["@_name"] === "rules")
    return {
      version: marshaller.originalVersion,
      inputs: (expression.input ?? []).map((each: any) => plain(each.inputExpression)),
      rows: (expression.rule ?? []).map((rule: any) => ({
        tests: (rule.inputEntry ?? []).map(plain),
        out: plain(rule.outputEntry[0]),
        trust: plain(rule.outputEntry[1]),
        notes: rule.annotationEntry.map(plain),
      })),
      decisions: Object.fromEntries(
        decisions
          .filter((each) => each.expression.text)
          .map((each) => [each["@_name"], plain(each.expression)]),
      ),
    }
    // biome-ignore-end lint/suspicious/noExplicitAny: see above
  }, xml)
}
