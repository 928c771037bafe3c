import { join } from "node:path"
import { build } from "vite"
import { minified } from "./minified.ts"
import { codeOf, outputOf } from "./output.ts"

const root = join(import.meta.dirname, "../..")

/** A file of the library with all that it imports as one, minified: what a page or a shop tool that carries it pays for. */
export async function bundleRunner(entry: string, format: "es" | "iife"): Promise<string> {
  const result = await build({
    configFile: false,
    root,
    logLevel: "error",
    build: {
      write: false,
      target: "es2022",
      minify: false,
      lib: { entry: join(root, entry), formats: [format], name: "ruleout" },
    },
  })
  const output = outputOf(result)
  if (output.length !== 1) throw new Error(`${entry} came out as ${output.length} files`)
  return minified(codeOf(output), format === "es")
}
