import { build, type Rolldown } from "vite"
import { root } from "./parts.ts"

/** One file with all that it imports, called `bundle` where it is a script. */
export async function bundled(entry: string, format: "es" | "iife", minify = false): Promise<string> {
  const result = await build({
    configFile: false,
    root,
    logLevel: "error",
    build: { write: false, minify, target: "es2022", lib: { entry, formats: [format], name: "bundle" } },
  })
  const [{ output }] = result as Rolldown.RolldownOutput[] as [Rolldown.RolldownOutput]
  return output[0].code
}
