/** The pages that come with the package. */
import { existsSync, readdirSync, readFileSync } from "node:fs"
import { basename, dirname, join } from "node:path"
import { fileURLToPath, pathToFileURL } from "node:url"

const CODES = "compiler/check/CODES.md"

/** The package's folder, as seen from what is built and from the source. */
const root = ["../..", "../../.."]
  .map((path) => fileURLToPath(new URL(path, import.meta.url)))
  .find((folder) => existsSync(join(folder, CODES)))

export interface Page {
  /** What it is asked for by. */
  readonly topic: string
  readonly file: string
}

/** All pages, by kind; empty where they aren't installed. */
export const pages = {
  reference: (): Page[] => pagesIn("compiler/reference", "language"),
  types: (): Page[] =>
    pagesIn("compiler/reference/api", "").map(({ topic, file }) => ({
      topic: topic === "" ? "types" : `types/${topic}`,
      file,
    })),
  handbook: (): Page[] => pagesIn("rulesets/handbook", "handbook"),
  examples: (): Page[] => (root ? rulesetsIn(join(root, "rulesets")) : []),
  codes: (): Page[] =>
    [
      { topic: "codes", file: CODES },
      { topic: "case-codes", file: "compiler/cases/CODES.md" },
      { topic: "vectors", file: "test/conformance/README.md" },
      { topic: "changes", file: "CHANGELOG.md" },
    ].flatMap(({ topic, file }) => (root ? [{ topic, file: join(root, file) }] : [])),
}

/** The first page of a folder has a name of its own. */
function pagesIn(folder: string, first: string): Page[] {
  if (root === undefined || !existsSync(join(root, folder))) return []
  return readdirSync(join(root, folder))
    .filter((name) => name.endsWith(".md"))
    .map((name) => ({
      topic: name === "README.md" ? first : basename(name, ".md"),
      file: join(root, folder, name),
    }))
}

function rulesetsIn(folder: string): Page[] {
  return readdirSync(folder)
    .map((name) => join(folder, name, `${name}.ruleout`))
    .filter((file) => existsSync(file))
    .map((file) => ({ topic: basename(dirname(file)), file }))
}

export function textOf({ file }: Page): string {
  return readFileSync(file, "utf8")
}

/** The address of the section about a problem's code; undefined where the page isn't installed. */
export function codePage(code: string): string | undefined {
  return root && `${pathToFileURL(join(root, CODES)).href}#${code}`
}

/** The section of a problem's code, without its heading's level; undefined where no page has one. */
export function sectionOf(code: string): string | undefined {
  for (const page of pages.codes()) {
    const lines = textOf(page).split("\n")
    const start = lines.findIndex((line) => /^##+ /.test(line) && line.replace(/^#+ /, "") === code)
    if (start < 0) continue
    const length = lines.slice(start + 1).findIndex((line) => /^##+ /.test(line))
    return `${lines
      .slice(start, length < 0 ? undefined : start + 1 + length)
      .join("\n")
      .trimEnd()}\n`
  }
  return undefined
}
