import { unwatchFile, watchFile } from "node:fs"
import { setTimeout as wait } from "node:timers/promises"
import { hasChanged } from "./known-files.ts"

/** Milliseconds between two looks at a file. Looking works on every disk, which being told of changes does not. */
const INTERVAL = 300

/** Calls when a file is another than before, also if it is replaced, removed or made. Returns what ends it. */
export function watchFiles(files: readonly string[], changed: (file: string) => void): () => void {
  const watched = files.map((file) => {
    const listener = () => changed(file)
    watchFile(file, { interval: INTERVAL }, listener)
    return { file, listener }
  })
  return () => {
    for (const { file, listener } of watched) unwatchFile(file, listener)
  }
}

/** Resolves to true when a file is another than when it was looked for, also if it has been so for a while. */
export async function nextChange(): Promise<boolean> {
  while (!hasChanged()) await wait(INTERVAL)
  return true
}
