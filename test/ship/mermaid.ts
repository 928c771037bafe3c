import { join } from "node:path"
import type { Page } from "playwright-core"
import { root } from "./parts.ts"

export interface Drawn {
  /** What stands in each box, by the name that the text gives it. */
  readonly boxes: Readonly<Record<string, string>>
  /** Arrows as `n0 n1`, and what stands at them. */
  readonly arrows: readonly (readonly [string, string])[]
  /** Names of all elements in the picture, each once. */
  readonly tags: readonly string[]
}

/** A page with Mermaid in it as its makers set it up: no limit raised, no guard lowered. */
export async function withMermaid(page: Page): Promise<Page> {
  await page.goto("about:blank")
  await page.addScriptTag({ path: join(root, "node_modules/mermaid/dist/mermaid.min.js") })
  return page
}

/** Reads and draws a text. @throws with Mermaid's own complaint where it refuses. */
export function drawn(page: Page, text: string): Promise<Drawn> {
  return page.evaluate(async (source) => {
    // biome-ignore lint/suspicious/noExplicitAny: the script puts itself there
    const { mermaid } = globalThis as any
    await mermaid.parse(source)
    const { svg } = await mermaid.render("drawn", source)
    const there = new DOMParser().parseFromString(svg, "text/html")
    const named = (id: string) => /flowchart-(\w+)-\d+$/.exec(id)![1]!
    const all = (what: string) => [...there.querySelectorAll(what)]
    const labels = new Map(
      all("g.edgeLabel > g.label").map((each) => [each.getAttribute("data-id"), each.textContent!]),
    )
    return {
      boxes: Object.fromEntries(all("g.node").map((each) => [named(each.id), each.textContent!])),
      arrows: all("path.flowchart-link").map((each) => {
        const [, from, to] = /L_(\w+)_(\w+)_\d+$/.exec(each.id)!
        return [`${from} ${to}`, labels.get(each.getAttribute("data-id")) ?? ""] as const
      }),
      tags: [...new Set(all("svg, svg *").map((each) => each.localName))].sort(),
    }
  }, text)
}
