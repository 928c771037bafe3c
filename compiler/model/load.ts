import { Collector } from "../diagnostics/collector.ts"
import type { Diagnostic } from "../diagnostics/diagnostic.ts"
import { excerpt } from "../diagnostics/escape.ts"
import { parse } from "../syntax/parser/parse.ts"
import type { RulesetDecl, Tree, UseDecl } from "../syntax/syntax-tree.ts"
import { CODES, type Report } from "./codes.ts"
import { renderCycle } from "./cycles.ts"

export interface Loaded {
  /** The root first, then the files in the order in which `use` reaches them, each once. */
  readonly trees: Tree[]
  /** By path as given to `read`: the text of each file. */
  readonly sources: Map<string, string>
  /** The parser's diagnostics of every file, and what is wrong with the `use`s. */
  readonly diagnostics: Diagnostic[]
  /** False where a file could not be brought in: names that binding does not know may well be declared there. */
  readonly complete: boolean
}

/**
 * Reads a ruleset and all that it uses. `path` and the paths handed to `read` have `/` between folders, whatever the
 * host has; `read` gives undefined for a file that is not there. A used path is relative to the file that uses it and
 * must stay inside the root ruleset's folder tree, so that a ruleset from a stranger cannot read anything else.
 */
export function load(path: string, read: (path: string) => string | undefined): Loaded {
  const folder = folderOf(path)
  const loader = new Loader(folder, read)
  loader.include(path.slice(folder.length))
  const { trees, sources, diagnostics, report } = loader
  const complete = !report.diagnostics.some(({ code }) => code === "missing-file" || code === "bad-path")
  return { trees, sources, diagnostics: [...diagnostics, ...report.diagnostics], complete }
}

/** With the `/` at its end; empty where the path is a name alone. */
export function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf("/") + 1)
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
    const target = this.#resolve(decl.path.value, from, decl)
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

  #resolve(written: string, from: string, decl: UseDecl): string | undefined {
    const span = decl.path?.span ?? decl.span
    if (
      written === "" ||
      /[\\\0]/.test(written) ||
      written.startsWith("/") ||
      /^[a-zA-Z][a-zA-Z0-9+.-]*:/.test(written)
    ) {
      return this.report.say(
        "bad-path",
        span,
        `${written === "" ? "An empty text" : excerpt(written)} isn't a relative path.`,
        {
          help: "Name the file as seen from this one, with `/` between folders, like `shared/supply.ruleout`.",
        },
      )
    }
    const path = join(folderOf(from) + written)
    if (path === "")
      return this.report.say("bad-path", span, `${excerpt(written)} names a folder, not a file.`, {
        help: "Name a file, like `shared/supply.ruleout`.",
      })
    if (path !== undefined) return path
    return this.report.say("bad-path", span, `${excerpt(written)} leads out of the ruleset's own folder.`, {
      help: "Put the file into the folder of the root ruleset, or in a folder below it.",
    })
  }

  /** Said once: the files behind it would only say the same. */
  #tooMany(by: UseDecl): void {
    if (this.#isTooMany) return
    this.#isTooMany = true
    const message =
      this.#chain.length >= LONGEST_CHAIN
        ? `${LONGEST_CHAIN} files use each other in a row up to here.`
        : `A ruleset has at most ${MOST_FILES.toLocaleString("en")} files.`
    this.report.say("bad-path", by.path?.span ?? by.span, message, {
      help: "Bring together what belongs together.",
    })
  }

  #missing(path: string, by: UseDecl | undefined): void {
    const span = by?.path?.span ?? { file: this.#folder + path, start: 0, end: 0 }
    this.report.say("missing-file", span, `\`${by?.path?.value ?? this.#folder + path}\` is not there.`, {
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

/** `.` and `..` taken out; undefined where `..` climbs out of the folder that the path begins in. */
function join(path: string): string | undefined {
  const steps: string[] = []
  for (const step of path.split("/")) {
    if (step === "" || step === ".") continue
    if (step !== "..") steps.push(step)
    else if (steps.pop() === undefined) return undefined
  }
  return steps.join("/")
}
