import { readdirSync } from "node:fs"
import { join } from "node:path"

/** What a bench file exports: a title, and a function that measures and prints a line for each result. */
export interface Bench {
  readonly title: string
  run(print: (line: string) => void): void | Promise<void>
}

/** Runs every bench of this folder, or those whose file name holds a word given on the command line. */
const wanted = process.argv.slice(2).filter((word) => !word.startsWith("--"))
const files = readdirSync(import.meta.dirname)
  .filter((name) => name.endsWith(".bench.ts"))
  .filter((name) => wanted.length === 0 || wanted.some((word) => name.includes(word)))
  .sort()

for (const file of files) {
  const bench = (await import(join(import.meta.dirname, file))) as Bench
  console.log(bench.title)
  await bench.run((line) => console.log(`  ${line}`))
}
if (files.length === 0) console.log("There is no bench of that name.")
