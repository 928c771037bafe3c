/**
 * What exports carry besides the graph, made once by `npm run build` and put beside the library: the runner without
 * imports with its types, the bench page, the schemas. The library itself stays pure; the command line reads these files.
 */
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { build, type Rolldown } from "vite"
import { caseSchema } from "../compiler/cases/schema.ts"
import { graphSchema } from "../compiler/graph/schema.ts"
import { bundleBenchPage } from "../vite.config.ts"

const root = join(import.meta.dirname, "..")
const dist = join(root, "dist")
const parts = join(dist, "parts")
const schemas = join(dist, "schemas")

async function runner(): Promise<string> {
  const result = await build({
    configFile: false,
    root,
    logLevel: "error",
    build: {
      write: false,
      target: "es2022",
      minify: false,
      lib: { entry: join(root, "compiler/ship/module-entry.ts"), formats: ["es"] },
    },
  })
  const [{ output }] = result as Rolldown.RolldownOutput[] as [Rolldown.RolldownOutput]
  return output[0].code
}

/** The declarations of all files of the runner as one: what they import from each other stands in the same file then. */
function types(): string {
  const folder = join(dist, "run")
  const texts = readdirSync(folder)
    .filter((name) => name.endsWith(".d.ts"))
    .sort()
    .map((name) => readFileSync(join(folder, name), "utf8"))
  return texts
    .join("\n")
    .replace(/^(?:import|export)[^;]*? from "[^"]*";$/gm, "")
    .replace(/^export \{\s*\};$/gm, "")
    .replace(/\n{2,}/g, "\n")
    .trim()
}

mkdirSync(parts, { recursive: true })
mkdirSync(schemas, { recursive: true })
const page = await bundleBenchPage()
writeFileSync(join(parts, "runner.js"), await runner())
writeFileSync(join(parts, "runner.d.ts"), `${types()}\n`)
writeFileSync(join(parts, "bench.js"), page.script)
writeFileSync(join(parts, "bench.css"), page.style)
writeFileSync(join(schemas, "graph.schema.json"), `${JSON.stringify(graphSchema, undefined, 2)}\n`)
writeFileSync(join(schemas, "case.schema.json"), `${JSON.stringify(caseSchema, undefined, 2)}\n`)
