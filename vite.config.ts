import { createHash } from "node:crypto"
import { existsSync, readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { build, defineConfig, type Plugin } from "vite"
import { bundleRunner } from "./playground/build/bundle-runner.ts"
import { minified } from "./playground/build/minified.ts"
import { codeOf, outputOf } from "./playground/build/output.ts"
import { shortKeys } from "./playground/build/short-keys.ts"

/** Browsers since May 2024: they know `light-dark()`, by which the bench keeps to the scheme of the page it is on. */
const CSS_TARGET = ["chrome123", "firefox126", "safari17.5"]
/**
 * What is shipped is the same whoever builds it: tests build it too. Elements are made by `h`, whose calls are shorter than
 * those of the automatic runtime: it doesn't name `children` each time.
 */
const jsx = {
  jsx: { runtime: "classic", pragma: "$h", pragmaFrag: "$Fragment", development: false },
  jsxInject: 'import { h as $h, Fragment as $Fragment } from "preact"',
} as const

/**
 * The bench on its own, for the page that `ship` writes: bundled to one script and one style without imports, and handed
 * to the playground as a module that is fetched only when somebody ships a page.
 */
const benchPage = () => virtualModule("bench-page", bundleBenchPage)

/** The runner of a shipped module, fetched when somebody ships one. */
const runner = () => virtualModule("runner", () => bundleRunner("compiler/ship/module-entry.ts", "es"))

/** What the shipped rulesets are called, by their folder; the rulesets themselves are fetched when somebody opens one. */
function exampleTitles(): Plugin {
  const folder = join(import.meta.dirname, "rulesets")
  const titleOf = (name: string) => {
    const file = join(folder, name, `${name}.ruleout`)
    return existsSync(file) ? /^ruleset\s+\w+\s+"(.*)"/m.exec(readFileSync(file, "utf8"))?.[1] : undefined
  }
  return virtualModule("example-titles", () => {
    const titles = readdirSync(folder).flatMap((name) => {
      const title = titleOf(name)
      return title === undefined ? [] : [[name, title]]
    })
    return Object.fromEntries(titles)
  })
}

/** `virtual:NAME`, which exports what is made when it is first asked for. */
function virtualModule(name: string, make: () => unknown): Plugin {
  const id = `virtual:${name}`
  return {
    name,
    resolveId: (source) => (source === id ? `\0${id}` : undefined),
    load: async (asked) =>
      asked === `\0${id}` ? `export default ${JSON.stringify(await make())}` : undefined,
  }
}

export async function bundleBenchPage(): Promise<{ script: string; style: string }> {
  return bundled("playground/page/main.tsx", "iife")
}

/** The bench as an element, in one module with its style. */
export async function bundleBenchElement(): Promise<string> {
  return (await bundled("playground/element/index.ts", "es", [shortKeys()])).script
}

async function bundled(
  input: string,
  format: "es" | "iife",
  plugins: Plugin[] = [],
): Promise<{ script: string; style: string }> {
  const result = await build({
    configFile: false,
    root: "playground",
    logLevel: "error",
    oxc: jsx,
    plugins,
    build: {
      write: false,
      target: "es2022",
      cssTarget: CSS_TARGET,
      // One file of style, not style that the script puts in: the page's policy allows what it names and no more.
      cssCodeSplit: false,
      rolldownOptions: { input, output: { format, minify: true } },
    },
  })
  const output = outputOf(result)
  const script = codeOf(output)
  const style = output.flatMap((file) => (file.type === "asset" ? [String(file.source)] : [])).join("")
  // Vite's own mark, by which it knows a style that was taken out of a script.
  return { script: await minified(script, format === "es"), style: style.replace("/*$vite$:1*/", "").trim() }
}

/** A script of its own, before that of the page: it is there before all that the page imports. */
function ahead(): Plugin {
  return {
    name: "ahead",
    apply: "build",
    transformIndexHtml: {
      order: "post",
      handler(_, { bundle = {} }) {
        const entry = Object.values(bundle).find((file) => file.type === "chunk" && file.name === "ahead")
        // What it shares with the page stands in a chunk that the entry imports: that is all there is to run.
        const [shared = entry?.fileName] = entry?.type === "chunk" ? entry.imports : []
        const attrs = { type: "module", crossorigin: true, src: `./${shared}` }
        return [{ tag: "script", attrs, injectTo: "head-prepend" }]
      },
    },
  }
}

/** The worker that answers without a network, with the list of all files of the build in it. */
function offline(): Plugin {
  return {
    name: "offline",
    apply: "build",
    async generateBundle(_, bundle) {
      const made = Object.keys(bundle).filter((name) => name !== "index.html" && !name.endsWith(".md"))
      const files = [...made, ...readdirSync(join(import.meta.dirname, "playground/public"))]
      const digest = createHash("sha256").update(files.join("\n")).digest("hex").slice(0, 12)
      const result = await build({
        configFile: false,
        root: "playground",
        logLevel: "error",
        define: {
          __FILES__: JSON.stringify(files.map((name) => `./${name}`)),
          __BUILD__: JSON.stringify(digest),
        },
        build: {
          write: false,
          target: "es2022",
          rolldownOptions: { input: "playground/workers/offline.worker.ts", output: { format: "iife" } },
        },
      })
      const source = codeOf(outputOf(result))
      this.emitFile({ type: "asset", fileName: "offline.js", source })
    },
  }
}

/** The playground is static files: relative addresses, so that it works from any folder of any server. */
export default defineConfig({
  root: "playground",
  base: "./",
  oxc: jsx,
  plugins: [benchPage(), runner(), exampleTitles(), ahead(), offline()],
  worker: { format: "es" },
  build: {
    outDir: "../dist/playground",
    emptyOutDir: true,
    target: "es2022",
    cssTarget: CSS_TARGET,
    chunkSizeWarningLimit: 6000,
    license: { fileName: "licenses.md" },
    rolldownOptions: {
      input: ["playground/index.html", "playground/workers/ahead.ts"],
      // What every page needs comes in one file: on a slow line each further one is a wait of its own.
      output: {
        codeSplitting: {
          groups: [
            { name: "worker-ahead", test: /\/workers\/ahead\.ts$/, priority: 1 },
            { name: "page", tags: ["$initial"] },
          ],
        },
      },
    },
  },
})
