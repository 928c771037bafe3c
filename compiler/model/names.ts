import type { Span } from "../syntax/finding.ts"
import { nearest } from "../syntax/nearest.ts"
import { quote } from "../syntax/quote.ts"
import type { Name } from "../syntax/tree.ts"
import { listed, type Report, replace } from "./report.ts"

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

export interface Entry {
  readonly kind: Kind
  /** Position among the places, the faults, the readings (told ones included), the tests or the rules. */
  readonly index: number
  readonly span: Span
}

/** All names of a program; a name is declared once, whatever its kind. */
export class Names {
  readonly #entries = new Map<string, Entry>()
  readonly #report: Report

  constructor(report: Report) {
    this.#report = report
  }

  /** The first declaration of a name keeps it; a later one is reported. */
  declare(name: Name, kind: Kind, index: number): void {
    const first = this.#entries.get(name.text)
    if (first === undefined) {
      this.#entries.set(name.text, { kind, index, span: name.span })
      return
    }
    this.#report.say("doubled-name", name.span, `${quote(name.text)} is declared twice.`, {
      labels: [{ span: first.span, text: `already ${WORDS[first.kind]}` }],
      help:
        first.kind === kind
          ? "Names are unique: give one of the two another name, or remove it."
          : `Names are unique across all kinds: give ${WORDS[kind]} or ${WORDS[first.kind]} another name.`,
    })
  }

  /** What is declared by that name, whatever its kind. */
  peek(text: string): Entry | undefined {
    return this.#entries.get(text)
  }

  /** What `name` stands for, if it is of one of `kinds`; else undefined, and the finding is made. */
  find(name: Name, kinds: readonly Kind[], clause: string): Entry | undefined {
    const entry = this.#entries.get(name.text)
    if (entry === undefined) return this.#unknown(name, kinds)
    if (kinds.includes(entry.kind)) return entry
    const wanted = words(kinds)
    return this.#report.say(
      "wrong-kind",
      name.span,
      `${quote(name.text)} is ${WORDS[entry.kind]}, not ${wanted}.`,
      {
        labels: [{ span: entry.span, text: "declared here" }],
        help: `${clause} takes ${wanted}${this.#examples(kinds)}.`,
      },
    )
  }

  /** `find` for a list: what is found, each once; a repeated name is reported. */
  findAll(names: readonly Name[], kinds: readonly Kind[], clause: string): { index: number; name: Name }[] {
    const found: { index: number; name: Name }[] = []
    const met = new Map<string, Name>()
    for (const name of names) {
      const first = met.get(name.text)
      if (first !== undefined) {
        this.#report.say("doubled-item", name.span, `${quote(name.text)} is listed twice.`, {
          labels: [{ span: first.span, text: "first here" }],
          help: "Remove one of the two.",
        })
        continue
      }
      met.set(name.text, name)
      const entry = this.find(name, kinds, clause)
      if (entry !== undefined) found.push({ index: entry.index, name })
    }
    return found
  }

  #unknown(name: Name, kinds: readonly Kind[]): undefined {
    const wanted = words(kinds)
    const near = nearest(name.text, this.#known(kinds)) ?? nearest(name.text, [...this.#entries.keys()])
    const entry = near === undefined ? undefined : this.#entries.get(near)
    const message = `No ${wanted.replace(/^(a|the) /, "").replaceAll(" or a ", " or ")} is called ${quote(name.text)}.`
    if (near !== undefined && entry !== undefined && kinds.includes(entry.kind)) {
      return this.#report.say("unknown-name", name.span, message, {
        labels: [{ span: entry.span, text: `\`${near}\` is declared here` }],
        help: `Did you mean \`${near}\`? Else declare ${quote(name.text)}.`,
        edits: [replace(name.span, near)],
      })
    }
    return this.#report.say("unknown-name", name.span, message, {
      help: `Declare ${quote(name.text)}, or name ${wanted} that is declared${this.#examples(kinds)}.`,
    })
  }

  #known(kinds: readonly Kind[]): string[] {
    return [...this.#entries].filter(([, entry]) => kinds.includes(entry.kind)).map(([text]) => text)
  }

  #examples(kinds: readonly Kind[]): string {
    const known = this.#known(kinds)
    return known.length === 0 ? "" : `: ${listed(known)}`
  }
}

function words(kinds: readonly Kind[]): string {
  return kinds.map((kind) => WORDS[kind]).join(" or ")
}
