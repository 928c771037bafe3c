import { readFileSync } from "node:fs"
import { createRequire } from "node:module"
import type { Page } from "playwright-core"

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8")

type Axe = {
  run(
    root: Document,
    options: object,
  ): Promise<{ violations: { id: string; nodes: { target: unknown; failureSummary?: string }[] }[] }>
}

/** What axe finds on the page as it stands, as short lines. */
export async function faults(page: Page): Promise<string[]> {
  // Put in as the browser's own code, past the page's policy.
  await page.evaluate(axe)
  return page.evaluate(async () => {
    const { violations } = await (globalThis as unknown as { axe: Axe }).axe.run(document, {
      // Of colours that the system chose itself, axe sees those that they took the place of.
      rules: { "color-contrast": { enabled: !matchMedia("(forced-colors: active)").matches } },
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    })
    return violations.flatMap(({ id, nodes }) =>
      nodes.map((node) => `${id}: ${node.target} ${node.failureSummary}`),
    )
  })
}
