import type { Span } from "../diagnostics/diagnostic.ts"
import { excerpt } from "../diagnostics/escape.ts"
import { closest } from "../diagnostics/suggest.ts"
import type { FaultIndex, PlaceIndex, ReadingIndex, RuleIndex, TestIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { MOST_PROBLEMS } from "../syntax/lexer/character-problems.ts"
import type { Name } from "../syntax/syntax-tree.ts"
import { listedNames } from "../wording/sentence.ts"
import type { Report } from "./codes.ts"

/** What a name can stand for. */
export type Kind = "ruleset" | "part" | "setup" | "complaint" | "fault" | "told" | "reading" | "test" | "rule"

const WORDS: Record<Kind, string> = {
  ruleset: "the ruleset",
  part: "a part",
  setup: "a setup",
  complaint: "the complaint",
  fault: "a fault",
  told: "a told question",
  reading: "a reading",
  test: "a test",
  rule: "a rule",
}

/** Which list of the model a name of each kind is an index of; a ruleset has one complaint and one name. */
interface Indexes extends Record<Kind, number> {
  readonly part: PlaceIndex
  readonly setup: PlaceIndex
  readonly fault: FaultIndex
  readonly told: ReadingIndex
  readonly reading: ReadingIndex
  readonly test: TestIndex
  readonly rule: RuleIndex
}

export type Entry<K extends Kind = Kind> = K extends Kind
  ? {
      readonly kind: K
      /** Position among the places, the faults, the readings (told ones included), the tests or the rules. */
      readonly index: Indexes[K]
      readonly span: Span
    }
  : never

/** What is found for one name of a list. */
export interface Resolved<K extends Kind> {
  readonly index: Indexes[K]
  readonly name: Name
}

/** A place where a name stands, and what it may stand for there. */
interface Use {
  readonly span: Span
  readonly kinds: readonly Kind[]
}

/**
 * All names of a program; a name is declared once, whatever its kind. What is not declared is reported once a name, with
 * all of its places, made by `close`.
 */
export class SymbolTable {
  readonly #entries = new Map<string, Entry>()
  readonly #report: Report
  readonly #misdeclared: ReadonlySet<string>
  /** Kinds of which a declaration's name could not be read: what has no other, may be that one. */
  readonly #nameless = new Set<Kind>()
  readonly #unknown = new Map<string, Use[]>()

  /** `misdeclared`: names of declarations of which not even the kind could be read. */
  constructor(report: Report, misdeclared: Iterable<string> = []) {
    this.#report = report
    this.#misdeclared = new Set(misdeclared)
  }

  /** A declaration whose name could not be read, which has been reported. */
  declareNameless(kind: Kind): void {
    this.#nameless.add(kind)
  }

  /** The first declaration of a name keeps it; a later one is reported. `index`: how many of its list come before it. */
  declare(name: Name, kind: Kind, index: number): void {
    const first = this.#entries.get(name.text)
    if (first === undefined) {
      this.#entries.set(name.text, { kind, index, span: name.span } as Entry)
      return
    }
    this.#report.say("doubled-name", name.span, `${excerpt(name.text)} is declared twice.`, {
      labels: [{ span: first.span, text: `already ${WORDS[first.kind]}` }],
      help:
        first.kind === kind
          ? "Names are unique: give one of the two another name, or remove it."
          : `Names are unique across all kinds: give ${WORDS[kind]} or ${WORDS[first.kind]} another name.`,
    })
  }

  /** What is declared by that name, whatever its kind. */
  lookup(text: string): Entry | undefined {
    return this.#entries.get(text)
  }

  /** What `name` stands for, if it is of one of `kinds`; else undefined, which is reported. */
  resolve<K extends Kind>(name: Name, kinds: readonly K[], clause: string): Entry<K> | undefined {
    const entry = this.#entries.get(name.text)
    if (entry === undefined) return this.#noteUnknown(name, kinds)
    if (isOneOf(entry, kinds)) return entry
    const wanted = words(kinds)
    return this.#report.say(
      "wrong-kind",
      name.span,
      `${excerpt(name.text)} is ${WORDS[entry.kind]}, not ${wanted}.`,
      {
        labels: [{ span: entry.span, text: "declared here" }],
        help: `${clause} takes ${wanted}${this.#examples(kinds)}.`,
      },
    )
  }

  /** `find` for a list: what is found, each once; a repeated name is reported. */
  resolveAll<K extends Kind>(names: readonly Name[], kinds: readonly K[], clause: string): Resolved<K>[] {
    const found: Resolved<K>[] = []
    const met = new Map<string, Name>()
    for (const name of this.#normalized(names, kinds)) {
      const first = met.get(name.text)
      if (first !== undefined) {
        this.#report.say("doubled-item", name.span, `${excerpt(name.text)} is listed twice.`, {
          labels: [{ span: first.span, text: "first here" }],
          help: "Remove one of the two.",
        })
        continue
      }
      met.set(name.text, name)
      const entry = this.resolve(name, kinds, clause)
      if (entry !== undefined) found.push({ index: entry.index as Indexes[K], name })
    }
    return found
  }

  /** A list in which a comma was put into a name of two words, which has been reported, and the name is declared. */
  #normalized(names: readonly Name[], kinds: readonly Kind[]): Name[] {
    const joined: Name[] = []
    let isTaken = false
    for (const [i, name] of names.entries()) {
      const next = names[i + 1]
      const text = `${name.text}_${next?.text}`
      const entry = this.#entries.has(name.text) ? undefined : this.#entries.get(text)
      const joins = next?.lacksComma === true && entry !== undefined && kinds.includes(entry.kind)
      if (isTaken) isTaken = false
      else if (joins) {
        joined.push({ text, span: { ...name.span, end: next.span.end } })
        isTaken = true
      } else joined.push(name)
    }
    return joined
  }

  #noteUnknown({ text, span }: Name, kinds: readonly Kind[]): undefined {
    if (this.#misdeclared.has(text)) return this.#report.giveUp()
    if (this.#report.isBroken(span)) return
    const uses = this.#unknown.get(text)
    if (uses === undefined) this.#unknown.set(text, [{ span, kinds }])
    else uses.push({ span, kinds })
  }

  /** Reports what nothing declares. */
  close(): void {
    let said = 0
    for (const [text, uses] of this.#unknown) {
      if (said++ < MOST_PROBLEMS) this.#sayUnknown(text, inText(uses))
      else {
        const more = this.#unknown.size - MOST_PROBLEMS
        const message = `${more} more ${more === 1 ? "name is" : "names are"} not declared.`
        this.#report.say("unknown-name", at(uses, 0).span, message, {
          help: "Fix the first ones, then check again.",
        })
        return
      }
    }
  }

  #sayUnknown(text: string, uses: readonly Use[]): void {
    const [{ span, kinds }, ...others] = uses as [Use, ...Use[]]
    const near = closest(text, this.#known(kinds)) ?? closest(text, this.#entries.keys())
    const entry = near === undefined ? undefined : this.#entries.get(near)
    const what = kinds.length > MOST_KINDS ? "Nothing" : `No ${kinds.map(bare).join(" or ")}`
    const message = `${what} is called ${excerpt(text)}.`
    const labels = others.slice(0, MOST_LABELS).map((other) => ({ span: other.span, text: "and here" }))
    if (near === undefined || entry === undefined || !kinds.includes(entry.kind)) {
      if (near === undefined && kinds.some((kind) => this.#nameless.has(kind))) {
        this.#report.giveUp()
        return
      }
      const help = `Declare ${excerpt(text)}, or name ${words(kinds)} that is declared${this.#examples(kinds)}.`
      this.#report.say("unknown-name", span, message, { labels, help })
      return
    }
    const places = uses.filter((use) => use.kinds.includes(entry.kind))
    const changes = places.map((use) => ({ span: use.span, text: near }))
    const all = places.length === 1 ? "" : ` in all ${places.length} places`
    this.#report.say("unknown-name", span, message, {
      labels: [{ span: entry.span, text: `\`${near}\` is declared here` }, ...labels],
      help: `Did you mean \`${near}\`? Otherwise, declare ${excerpt(text)}.`,
      edits: [{ title: `Write \`${near}\`${all}`, safe: false, changes }],
    })
  }

  #known(kinds: readonly Kind[]): string[] {
    return [...this.#entries].filter(([, entry]) => kinds.includes(entry.kind)).map(([text]) => text)
  }

  #examples(kinds: readonly Kind[]): string {
    const known = this.#known(kinds)
    return known.length === 0 ? "" : `: ${listedNames(known, "or")}`
  }
}

function isOneOf<K extends Kind>(entry: Entry, kinds: readonly K[]): entry is Entry<K> {
  return (kinds as readonly Kind[]).includes(entry.kind)
}

function words(kinds: readonly Kind[]): string {
  if (kinds.length > MOST_KINDS) return "something"
  return kinds.map((kind) => WORDS[kind]).join(" or ")
}

function bare(kind: Kind): string {
  return WORDS[kind].replace(/^(?:an?|the) /, "")
}

/** In the order of the text, file by file. */
function inText(uses: readonly Use[]): Use[] {
  const files = [...new Set(uses.map(({ span }) => span.file))]
  return files.flatMap((file) =>
    uses.filter(({ span }) => span.file === file).sort((a, b) => a.span.start - b.span.start),
  )
}

/** More kinds than this aren't listed. */
const MOST_KINDS = 3

/** Further places of an unknown name that are pointed at. */
const MOST_LABELS = 5
