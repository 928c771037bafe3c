/**
 * What `npm run build` makes besides the library. The bench as an element. What exports carry besides the graph: the
 * runner without imports with its types, the bench page, the schemas; the library itself stays pure, and the command line reads these files. The
 * grammar for editors. And the command line as few files: to look for the hundreds of the packages it uses took most of
 * the time in which it starts.
 */
import { copyFileSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { build } from "vite"
import { caseSchema } from "../../compiler/cases/record/schema.ts"
import { graphSchema } from "../../compiler/graph/schema.ts"
import { textmateGrammar } from "../../compiler/service/textmate-grammar.ts"
import { elementTexts, LANGUAGES } from "../../compiler/wording/catalogues.ts"
import { bundleBenchElement, bundleBenchPage } from "../../vite.config.ts"
import { bundleRunner } from "./bundle-runner.ts"
import { shortKey } from "./short-keys.ts"

const root = join(import.meta.dirname, "../..")
const dist = join(root, "dist")
const parts = join(dist, "parts")
const bench = join(dist, "bench")
const schemas = join(dist, "schemas")
const editors = join(dist, "editors")

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

/** What the element's page says of it, beside the runner's types in the package. */
function benchTypes(): string {
  const text = readFileSync(join(root, "playground/element/types.ts"), "utf8")
  return text.replace("../../compiler/run/index.ts", "../run/index.js")
}

async function commandLine(): Promise<void> {
  await build({
    configFile: false,
    root,
    logLevel: "error",
    ssr: { noExternal: true, external: ["@duckdb/node-api"] },
    build: {
      ssr: true,
      target: "node20",
      minify: false,
      outDir: join(dist, "cli"),
      // Nothing else is of use there: what the compiler wrote of each file is in these.
      emptyOutDir: true,
      license: { fileName: "licenses.md" },
      rolldownOptions: {
        input: ["main", "io/replay-worker"].map((name) => join(root, `compiler/cli/${name}.ts`)),
        output: { entryFileNames: "[name].js", chunkFileNames: "[name].js" },
      },
    },
  })
}

/** What the compiler leaves in declarations as it stands in the source: the files are called `.js` now. */
function nameBuiltFiles(): void {
  for (const name of readdirSync(dist, { recursive: true, encoding: "utf8" })) {
    if (!name.endsWith(".d.ts")) continue
    const file = join(dist, name)
    const text = readFileSync(file, "utf8")
    const built = text.replace(/(\bfrom |\bimport\()"(\.[^"]*)\.ts"/g, '$1"$2.js"')
    if (built !== text) writeFileSync(file, built)
  }
}

nameBuiltFiles()
mkdirSync(parts, { recursive: true })
mkdirSync(bench, { recursive: true })
mkdirSync(schemas, { recursive: true })
mkdirSync(editors, { recursive: true })
const page = await bundleBenchPage()
writeFileSync(join(parts, "runner.js"), await bundleRunner("compiler/ship/module-entry.ts", "es"))
writeFileSync(join(parts, "runner.d.ts"), `${types()}\n`)
copyFileSync(join(root, "compiler/ship/python/runner.py"), join(parts, "runner.py"))
writeFileSync(join(parts, "bench.js"), page.script)
writeFileSync(join(parts, "bench.css"), page.style)
writeFileSync(join(bench, "ruleout-bench.js"), await bundleBenchElement())
writeFileSync(join(bench, "ruleout-bench.d.ts"), benchTypes())
for (const language of LANGUAGES.slice(1)) {
  const texts = Object.entries(elementTexts(language) ?? {}).map(([key, text]) => [shortKey(key), text])
  writeFileSync(
    join(bench, `${language}.js`),
    `export default ${JSON.stringify(Object.fromEntries(texts))}\n`,
  )
  writeFileSync(join(bench, `${language}.d.ts`), "declare const texts: object\nexport default texts\n")
}
writeFileSync(join(schemas, "graph.schema.json"), `${JSON.stringify(graphSchema, undefined, 2)}\n`)
writeFileSync(join(schemas, "case.schema.json"), `${JSON.stringify(caseSchema, undefined, 2)}\n`)
writeFileSync(
  join(editors, "ruleout.tmLanguage.json"),
  `${JSON.stringify(textmateGrammar(), undefined, 2)}\n`,
)
await commandLine()
