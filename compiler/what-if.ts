import { type Diagnostic, diagnostic } from "./diagnostics/diagnostic.ts"
import { bind } from "./model/bind.ts"
import type { Model } from "./model/model.ts"
import { parse } from "./syntax/parser/parse.ts"
import type { Declaration, Tree } from "./syntax/syntax-tree.ts"

/**
 * A ruleset with one declaration changed in a few words, without touching its text: `part processor spare`,
 * `test meter_rail takes 2 min`, `bench 30 per hour`. The clauses written take the place of those that the declaration
 * has; all others stay.
 */
export function suppose(
  trees: readonly Tree[],
  sources: ReadonlyMap<string, string>,
  words: string,
): { model?: Model; diagnostics: readonly Diagnostic[] } {
  const whole = spelledOut(trees, words)
  if (typeof whole === "string") return { diagnostics: [complaint(words, whole)] }
  const { tree, diagnostics } = parse(WORDS, whole.text)
  const change = tree.declarations[0]
  if (diagnostics.length > 0 || !change || tree.declarations.length !== 1) {
    const said = diagnostics[0]?.message ?? "Only one declaration can be changed at a time."
    return { diagnostics: [complaint(words, said)] }
  }
  const changed = trees.map((each) => ({
    ...each,
    declarations: each.declarations.map((d) => (d === whole.target ? merge(d, change) : d)),
  }))
  return bind(changed, sources)
}

/** File name under which the words of a supposition are reported. */
const WORDS = "what-if"

/** Clauses of the ruleset itself, which are written without `ruleset NAME "title"` before them. */
const OF_RULESET = new Set(["money", "bench", "comeback", "handover", "trust"])

/** The words as a whole declaration, with the name and the text that the real one has; or what is wrong with them. */
function spelledOut(trees: readonly Tree[], words: string): { text: string; target: Declaration } | string {
  const declarations = trees.flatMap((tree) => tree.declarations)
  const [, keyword = "", name = "", rest = ""] = /^\s*(\S+)\s*(\S*)\s*([\s\S]*)$/.exec(words) ?? []
  if (OF_RULESET.has(keyword)) {
    const target = declarations.find((d) => d.kind === "ruleset")
    return target ? { text: `ruleset x "x" ${words}`, target } : "There is no `ruleset` to change."
  }
  const target = declarations.find((d) => d.kind === keyword && "name" in d && d.name?.text === name)
  if (target) return { text: `${keyword} ${name} "x" ${rest}`, target }
  return "It names nothing in the ruleset. Write a declaration's keyword, its name and the clauses to change, like `part processor spare`; or a clause of the ruleset, like `bench 30 per hour`."
}

/** Lists that were not written stay as they are; everything else that was written takes the old one's place. */
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
  return diagnostic("error", "bad-supposition", { file: WORDS, start: 0, end: words.length }, message)
}
