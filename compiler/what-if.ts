import { type Diagnostic, diagnostic } from "./diagnostics/diagnostic.ts"
import { bind } from "./model/bind.ts"
import type { Model } from "./model/model.ts"
import type { LoadedPictures } from "./model/pictures/load-pictures.ts"
import { DECLARATIONS } from "./syntax/language/statements.ts"
import { parse } from "./syntax/parser/parse.ts"
import type { Declaration, Tree } from "./syntax/syntax-tree.ts"

/**
 * A ruleset with one declaration changed in a few words, without touching its text: `part processor spare`,
 * `test meter_rail takes 2 min`, `bench 30 per hour`. The given clauses replace those of the
 * declaration; all others stay.
 */
export function suppose(
  trees: readonly Tree[],
  sources: ReadonlyMap<string, string>,
  words: string,
  pictures?: LoadedPictures,
): { model?: Model; diagnostics: readonly Diagnostic[] } {
  const whole = spelledOut(trees, words)
  if (typeof whole === "string") return { diagnostics: [complaint(words, whole)] }
  const { tree, diagnostics } = parse(CHANGE_FILE, whole.text)
  const change = tree.declarations[0]
  if (diagnostics.length > 0 || !change || tree.declarations.length !== 1) {
    const said = diagnostics[0]?.message ?? "Only one declaration can be changed at a time."
    return { diagnostics: [complaint(words, said)] }
  }
  const changed = trees.map((each) => ({
    ...each,
    declarations: each.declarations.map((d) => (d === whole.target ? merge(d, change) : d)),
  }))
  return bind(changed, sources, pictures)
}

/** File name under which problems in the change are reported. */
const CHANGE_FILE = "what-if"

/** Clauses of the ruleset itself, which are given without `ruleset NAME "title"`. */
const RULESET_CLAUSES = DECLARATIONS.flatMap(({ kind, clauses }) =>
  kind === "ruleset" ? clauses.map(({ words }) => words.split(" ")) : [],
)

/** Whether the words begin like a clause of the ruleset: one word of it is enough, as a misspelt rest is reported. */
function isOfRuleset(keyword: string): boolean {
  return RULESET_CLAUSES.some(([first]) => first === keyword)
}

/** The change as a complete declaration of the same kind and name, and the one that it changes; or what is wrong with it. */
function spelledOut(trees: readonly Tree[], words: string): { text: string; target: Declaration } | string {
  const declarations = trees.flatMap((tree) => tree.declarations)
  const [, keyword = "", name = "", rest = ""] =
    /^(\S+)(?:\s+(\S+)(?:\s+(\S[\s\S]*))?)?$/.exec(words.trim()) ?? []
  if (isOfRuleset(keyword)) {
    const target = declarations.find((d) => d.kind === "ruleset")
    return target ? { text: `ruleset x "x" ${words}`, target } : "The file has no `ruleset` to change."
  }
  const target = declarations.find((d) => d.kind === keyword && "name" in d && d.name?.text === name)
  if (target) return { text: `${keyword} ${name} "x" ${rest}`, target }
  return "The ruleset has no such declaration. Write its keyword, its name and the clauses to change, like `part processor spare`, or a clause of the ruleset, like `bench 30 per hour`."
}

/** Clauses that were given replace the old ones; all others stay. */
function merge(old: Declaration, change: Declaration): Declaration {
  const kept = new Set([
    "kind",
    "name",
    "title",
    "label",
    "text",
    "question",
    "instruction",
    "keyword",
    "span",
  ])
  const written = Object.entries(change).filter(
    ([field, value]) =>
      !kept.has(field) &&
      value !== undefined &&
      !(Array.isArray(value) && value.length === 0) &&
      field !== "whole",
  )
  return {
    ...old,
    ...Object.fromEntries(written.filter(([field]) => field !== "blankBefore")),
  } as Declaration
}

function complaint(words: string, message: string): Diagnostic {
  return diagnostic("error", "bad-supposition", { file: CHANGE_FILE, start: 0, end: words.length }, message)
}
