import { compiled, say } from "../state.ts"
import { storeValue } from "../store.ts"
import { saveFile } from "./files.ts"

/** What is shipped is kept too, so that the next version can be held against it on the same cases. */
async function rememberShipped(): Promise<void> {
  const made = compiled.value
  if (made) await storeValue("shipped", made.text).catch(() => {})
}

export function shipGraph(): void {
  const made = compiled.value
  if (!made) return
  saveFile(`${made.graph.ruleset.name}.graph.json`, made.text, "application/json")
  void rememberShipped()
}

export async function shipPage(): Promise<void> {
  const made = compiled.value
  if (!made) return
  try {
    const [{ writePage }, parts] = await Promise.all([
      import("../../compiler/ship/page.ts"),
      import("virtual:bench-page"),
    ])
    saveFile(`${made.graph.ruleset.name}.html`, await writePage(made.graph, parts.default), "text/html")
    await rememberShipped()
  } catch {
    say("The page could not be put together. Load this site again and try once more.", { bad: true })
  }
}
