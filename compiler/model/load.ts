import { Collector } from "../diagnostics/collector.ts"
import type { Diagnostic } from "../diagnostics/diagnostic.ts"
import { parse } from "../syntax/parser/parse.ts"
import type { RulesetDecl, Tree, UseDecl } from "../syntax/syntax-tree.ts"
import { grouped } from "../wording/figures.ts"
import { CODES, type Report } from "./codes.ts"
import { renderCycle } from "./cycles.ts"
import { type LoadedPictures, loadPictures, type ReadPicture } from "./pictures/load-pictures.ts"
import { folderOf, resolvePath } from "./relative-paths.ts"

export interface Loaded {
  /** The root first, then the files in the order in which `use` reaches them, each once. */
  readonly trees: Tree[]
  /** By path as given to `read`: the text of each file. */
  readonly sources: Map<string, string>
  readonly pictures: LoadedPictures
  /** The parser's diagnostics of every file, and what is wrong with the `use`s and the pictures. */
  readonly diagnostics: Diagnostic[]
}

/**
 * Reads a ruleset and all that it uses. `path` and the paths handed to `read` have `/` between folders, whatever the
 * host has; `read` gives undefined for a file that is not there. A used path is relative to the file that uses it and
 * must stay inside the root ruleset's folder tree, so that a ruleset from a stranger cannot read anything else. The same
 * holds for its pictures; without `readPicture` they are left out. `also`: files that are brought in as if the root used
 * them, like the texts of a language that it doesn't know of.
 */
export function load(
  path: string,
  read: (path: string) => string | undefined,
  readPicture?: ReadPicture,
  also: readonly string[] = [],
): Loaded {
  const folder = folderOf(path)
  const loader = new Loader(folder, read)
  loader.include(path.slice(folder.length))
  for (const other of also) loader.include(other.startsWith(folder) ? other.slice(folder.length) : other)
  const { trees, sources, diagnostics, report } = loader
  const pictures = readPicture ? loadPictures(trees, folder, readPicture, report) : new Map()
  return { trees, sources, pictures, diagnostics: [...diagnostics, ...report.diagnostics] }
}

/** More than a person keeps in view, and less than what exhausts the stack. */
const LONGEST_CHAIN = 200
const MOST_FILES = 2_000

class Loader {
  readonly trees: Tree[] = []
  readonly sources = new Map<string, string>()
  readonly diagnostics: Diagnostic[] = []
  readonly report: Report = new Collector(CODES)
  readonly #read: (path: string) => string | undefined
  /** The root's folder with its `/`. Everywhere else here a path is one as seen from this folder. */
  readonly #folder: string
  /** Files whose `use`s are being followed, outermost first. */
  readonly #chain: string[] = []
  #isTooMany = false

  constructor(folder: string, read: (path: string) => string | undefined) {
    this.#read = read
    this.#folder = folder
  }

  /** `by` is the `use` that asks for the file; absent for the root. */
  include(path: string, by?: UseDecl): void {
    const file = this.#folder + path
    if (this.sources.has(file)) return
    if (by && (this.#chain.length >= LONGEST_CHAIN || this.sources.size >= MOST_FILES)) {
      this.#tooMany(by)
      return
    }
    const text = this.#read(file)
    if (text === undefined) {
      this.#missing(path, by)
      return
    }
    this.sources.set(file, text)
    const { tree, diagnostics } = parse(file, text)
    this.diagnostics.push(...diagnostics)
    this.trees.push(by === undefined ? tree : this.#withoutRuleset(tree, by))
    this.#chain.push(path)
    for (const decl of tree.declarations) if (decl.kind === "use") this.#follow(decl, path)
    this.#chain.pop()
  }

  #follow(decl: UseDecl, from: string): void {
    const { report } = this
    if (decl.path === undefined) {
      if (decl.whole) {
        report.say("missing-clause", decl.keyword, "This `use` has no path.", {
          help: 'Write `use "relative/path.ruleout"`.',
        })
      }
      return
    }
    const target = resolvePath(decl.path, from, "shared/supply.ruleout", report)
    if (target === undefined) return
    const start = this.#chain.indexOf(target)
    if (start < 0) {
      this.include(target, decl)
      return
    }
    report.say(
      "cycle",
      decl.path.span,
      `\`use\` leads in a cycle: ${renderCycle(this.#chain.slice(start))}.`,
      {
        help: "Remove one of these `use`s; what two files share can go into a third.",
      },
    )
  }

  /** Said once: the files behind it would only say the same. */
  #tooMany(by: UseDecl): void {
    if (this.#isTooMany) return
    this.#isTooMany = true
    const message =
      this.#chain.length >= LONGEST_CHAIN
        ? `${LONGEST_CHAIN} files use each other in a row up to here.`
        : `A ruleset has at most ${grouped(MOST_FILES)} files.`
    this.report.say("bad-path", by.path?.span ?? by.span, message, {
      help: "Bring together what belongs together.",
    })
  }

  #missing(path: string, by: UseDecl | undefined): void {
    const span = by?.path?.span ?? { file: this.#folder + path, start: 0, end: 0 }
    this.report.say("missing-file", span, `\`${by?.path?.value ?? this.#folder + path}\` isn't there.`, {
      help:
        by === undefined
          ? "Check the path of the ruleset."
          : `It was looked for as \`${path}\` in the folder of the ruleset: correct the path, or add the file.`,
    })
  }

  /**
   * A used file is a piece of a program. Its `ruleset` is reported where the file is used, and left out of the tree
   * that goes on, so that binding does not say the same again.
   */
  #withoutRuleset(tree: Tree, by: UseDecl): Tree {
    const found = tree.declarations.find((decl): decl is RulesetDecl => decl.kind === "ruleset")
    if (found === undefined) return tree
    this.report.say(
      "doubled-declaration",
      by.path?.span ?? by.span,
      `\`${by.path?.value}\` is a ruleset of its own.`,
      {
        labels: [{ span: found.keyword, text: "declared here" }],
        help: "A file to be used has no `ruleset`: move what is shared into a file without one.",
      },
    )
    return { ...tree, declarations: tree.declarations.filter(({ kind }) => kind !== "ruleset") }
  }
}
