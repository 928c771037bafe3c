import { replace } from "../diagnostics/collector.ts"
import type { Edit, Label } from "../diagnostics/diagnostic.ts"
import { excerpt } from "../diagnostics/escape.ts"
import { closest } from "../diagnostics/suggest.ts"
import type { GraphTexts } from "../run/graph.ts"
import { textOf } from "../syntax/format/atoms.ts"
import type { NamedKind } from "../syntax/language/arguments.ts"
import { texts as language } from "../syntax/language/texts.ts"
import type {
  Declaration,
  Name,
  Text,
  TextsDecl,
  Translation,
  ValueTranslation,
} from "../syntax/syntax-tree.ts"
import { counted } from "../wording/sentence.ts"
import { allRead } from "./all-read.ts"
import { valuesOf } from "./bind-conditions.ts"
import type { Report } from "./codes.ts"
import { languageOf, USUAL_LANGUAGE } from "./language-tag.ts"
import type { Scope } from "./scope.ts"
import { type Translatable, textsIn, translatable } from "./translatable.ts"

/** Texts that are pointed at in one diagnostic. */
const MOST_LABELS = 5

/** One entry of texts: what it translates, and what that is in the language. */
interface Entry {
  readonly words: Translatable["entry"]
  readonly name?: Name | undefined
  readonly original: Text | Name
  readonly text: Text
}

/**
 * The texts of each language, in the order of their tags. What is wrong with them is reported, and stays untranslated.
 * `own`: the language of the ruleset's own texts.
 */
export function bindTexts(
  declarations: readonly Declaration[],
  scope: Scope,
  own: string = USUAL_LANGUAGE,
): GraphTexts[] {
  const byTag = new Map<string, TextsDecl[]>()
  for (const decl of declarations) {
    if (decl.kind !== "texts" || decl.tag === undefined) continue
    const tag = languageOf(decl.tag, scope.report)
    if (tag === undefined) continue
    if (tag === own) sayOwn(decl.tag, scope.report)
    else byTag.set(tag, [...(byTag.get(tag) ?? []), decl])
  }
  const all = byTag.size === 0 ? [] : translatable(declarations, scope)
  return [...byTag]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([tag, decls]) => {
      const language = new Language(all, scope)
      for (const decl of decls) language.read(decl)
      language.pairChanged()
      language.reportMissing(tag, decls)
      return textsIn(tag, declarations, scope, ({ original }) => language.translated(original))
    })
}

function sayOwn({ text, span }: Name, report: Report): void {
  report.say("bad-language", span, `The ruleset's own texts are in ${excerpt(text)}.`, {
    help: "Say with `language`, in the ruleset, what they are in; its own texts need no translation.",
  })
}

/** The texts of one language while they are read. */
class Language {
  readonly #all: readonly Translatable[]
  readonly #scope: Scope
  readonly #byText = new Map<string, Translatable[]>()
  readonly #entries = new Map<Text | Name, Entry>()
  readonly #unpaired: Entry[] = []
  readonly #outdated = new Set<Text | Name>()

  constructor(all: readonly Translatable[], scope: Scope) {
    this.#all = all
    this.#scope = scope
    for (const each of all) {
      const key = keyOf(each.entry, each.original)
      this.#byText.set(key, [...(this.#byText.get(key) ?? []), each])
    }
  }

  translated(original: Text | Name): string | undefined {
    return this.#entries.get(original)?.text.value || undefined
  }

  read(decl: TextsDecl): void {
    const { says, values, remedies, inputs, tools, hazards, captions, reasons, ...head } = decl
    allRead(head)
    for (const value of values) this.#readValue(value)
    this.#readAll("says", says)
    this.#readAll("remedy", remedies)
    this.#readAll("takes", inputs)
    this.#readAll("needs", tools)
    this.#readAll("caution", hazards)
    this.#readAll("picture", captions)
    this.#readAll("because", reasons)
  }

  #readAll(words: Entry["words"], entries: readonly Translation[]): void {
    const kinds = kindsOf(words)
    for (const { name, original, text } of entries)
      if (name === undefined || this.#scope.names.resolve(name, kinds, `\`${words}\``) !== undefined)
        this.#add({ words, name, original, text })
  }

  #readValue({ reading, value, text, span }: ValueTranslation): void {
    const entry = this.#scope.names.resolve(reading, ["reading", "told"], "`value`")
    if (entry === undefined) return
    const condition = { kind: "compare", comparison: "is", values: [value], numbers: [], span } as const
    if (valuesOf(condition, entry.index, this.#scope) === undefined) return
    this.#add({ words: "value", name: reading, original: value, text })
  }

  /** An entry with a name is for that alone, and goes before one for all that have the text. */
  #add(entry: Entry): void {
    const { words, name, original } = entry
    const all = this.#byText.get(keyOf(words, original)) ?? []
    const own = name === undefined ? all : all.filter(({ owner }) => owner === name.text)
    if (own.length === 0) this.#unpaired.push(entry)
    for (const each of own) {
      const other = this.#entries.get(each.original)
      const isSame = other !== undefined && (other.name === undefined) === (name === undefined)
      if (isSame) {
        this.#sayDoubled(entry, other)
        return
      }
      if (other?.name === undefined) this.#entries.set(each.original, entry)
    }
  }

  #sayDoubled({ original }: Entry, first: Entry): void {
    this.#scope.report.say("doubled-item", original.span, "This text is translated twice.", {
      labels: [{ span: first.original.span, text: "first here" }],
      help: "Remove one of the two.",
    })
  }

  /** Entries of texts that aren't there: of one that has changed since, or of none at all. Once all are read. */
  pairChanged(): void {
    for (const entry of this.#unpaired) {
      const now = this.#changed(entry)
      if (now === undefined) this.#sayUnknown(entry)
      else {
        this.#outdated.add(now)
        this.#sayOutdated(entry, now)
      }
    }
  }

  #changed({ words, name, original }: Entry): Text | Name | undefined {
    const left = this.#all.filter(
      (each) =>
        each.entry === words &&
        (name === undefined || each.owner === name.text) &&
        !this.#entries.has(each.original) &&
        !this.#outdated.has(each.original),
    )
    if (name !== undefined) return left[0]?.original
    const near = closest(
      wordingOf(original),
      left.map((each) => wordingOf(each.original)),
    )
    return left.find((each) => wordingOf(each.original) === near)?.original
  }

  #sayUnknown({ words, name, original }: Entry): void {
    const has =
      name !== undefined && this.#all.some((each) => each.entry === words && each.owner === name.text)
    const message =
      name === undefined
        ? `No text of the ruleset reads ${excerpt(wordingOf(original))}.`
        : `${excerpt(name.text)} has no ${has ? "other text" : "text"} for \`${words}\`.`
    this.#scope.report.say("unknown-translation", original.span, message, {
      help: "Remove the entry, or correct the text that it translates.",
    })
  }

  #sayOutdated({ name, original }: Entry, now: Text | Name): void {
    const whose = name === undefined ? "This text" : `The text of ${excerpt(name.text)}`
    const title = "Write the text as it is now: the translation still holds"
    this.#scope.report.say("outdated-translation", original.span, `${whose} has changed since.`, {
      labels: [{ span: now.span, text: "as it is now" }],
      help: "Look at the translation again, then write the new text beside it. Until then it isn't shown.",
      edits: [replace(original.span, textOf({ value: wordingOf(now) }), title)],
    })
  }

  reportMissing(tag: string, decls: readonly TextsDecl[]): void {
    const missing = this.#all.filter(
      ({ original }) => !this.translated(original) && !this.#outdated.has(original),
    )
    const [decl] = decls
    if (missing.length === 0 || decl === undefined) return
    const lines = [...new Set(missing.filter(({ original }) => !this.#entries.has(original)).map(lineOf))]
    const labels = missing.slice(0, MOST_LABELS).map(({ original }) => this.#labelOf(original))
    const message = `\`${tag}\` is missing ${missing.length} of ${counted(this.#all.length, "text")}.`
    this.#scope.report.say("missing-translation", decl.tag?.span ?? decl.keyword, message, {
      labels,
      help:
        lines.length === 0
          ? "Write each translation after its `as`. Until then the text is shown as it is."
          : "Write an entry for each; the fix writes their lines. Until then the text is shown as it is.",
      edits: lines.length === 0 ? [] : [linesTo(decl, lines)],
    })
  }

  #labelOf(original: Text | Name): Label {
    const entry = this.#entries.get(original)
    return entry ? { span: entry.text.span, text: "still empty" } : { span: original.span, text: "no entry" }
  }
}

function keyOf(words: Entry["words"], original: Text | Name): string {
  return `${words} ${wordingOf(original)}`
}

function wordingOf(original: Text | Name): string {
  return "value" in original ? original.value : original.text
}

function kindsOf(words: Entry["words"]): readonly NamedKind[] {
  return language.clauses.find((clause) => clause.words === words)?.names ?? []
}

/** An entry without its translation. A tool is called the same wherever it is needed. */
function lineOf({ entry, owner, original }: Translatable): string {
  const name = owner === undefined || entry === "needs" ? "" : `${owner} `
  return `${entry} ${name}${"value" in original ? textOf(original) : `is ${original.text}`} as ""`
}

/** Safe: a text that isn't translated stays as it is, with a line for it or without. */
function linesTo(decl: TextsDecl, lines: readonly string[]): Edit {
  const end = Math.max(decl.span.end, decl.inner.at(-1)?.span.end ?? 0)
  const span = { file: decl.span.file, start: end, end }
  const text = lines.map((line) => `\n  ${line}`).join("")
  return { title: "Write a line for each text that has none", safe: true, changes: [{ span, text }] }
}
