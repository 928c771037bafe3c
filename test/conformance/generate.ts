/** Writes the vectors: `npx tsx test/conformance/generate.ts`. The same seeds always give the same files. */
import { mkdirSync, rmSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { vectorsFrom } from "./draw.ts"

const FILES = 12

const folder = join(import.meta.dirname, "vectors")
rmSync(folder, { recursive: true, force: true })
mkdirSync(folder, { recursive: true })
for (let seed = 1, files = 0; files < FILES; seed++) {
  const vectors = vectorsFrom(seed)
  if (!vectors) continue
  files++
  writeFileSync(join(folder, `drawn-${files}.json`), `${JSON.stringify(vectors)}\n`)
}
