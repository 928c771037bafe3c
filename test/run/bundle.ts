import { join } from "node:path"
import { build } from "vite"

/** The runner as a shop would ship it: one file, minified. */
export async function bundle(format: "es" | "iife"): Promise<string> {
  const root = join(import.meta.dirname, "../..")
  const result = await build({
    configFile: false,
    logLevel: "error",
    root,
    build: {
      write: false,
      target: "es2022",
      lib: { entry: join(root, "compiler/run/index.ts"), formats: [format], name: "ruleout" },
      // Vite leaves the white space of a library alone unless told.
      rolldownOptions: { output: { minify: true, comments: false } },
    },
  })
  const { output } = Array.isArray(result) ? result[0]! : (result as Exclude<typeof result, { on: unknown }>)
  if (output.length !== 1) throw new Error(`the runner came out as ${output.length} files`)
  return output[0].code
}
