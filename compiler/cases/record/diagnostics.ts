/** The diagnostics of one line of cases, each at its place in the file. */
import { type Diagnostic, diagnostic, type Severity } from "../../diagnostics/diagnostic.ts"
import { excerpt } from "../../diagnostics/escape.ts"
import { closest } from "../../diagnostics/suggest.ts"
import { brief } from "../../run/read.ts"
import type { CaseCode } from "./codes.ts"
import { locate, type OffsetRange, type Path } from "./json-locations.ts"

/** The span is in the whole file, `line` counts from 1, `path` is like `steps[2].test`. */
export interface CaseDiagnostic extends Diagnostic {
  readonly line: number
  readonly path: string
  /** What to do about it: `help` without what becomes of the line, of which a table has its own idea. */
  readonly hint?: string
}

/** Where a line is: name of the file, and offset of the line in it (UTF-16 code units). */
export interface LinePlace {
  readonly file: string
  readonly offset: number
  /** The day that it is, as ISO 8601 has it; dates after it are yet to come. */
  readonly today?: string
}

export class LineDiagnostics {
  readonly #line: () => string
  readonly #n: number
  readonly #place: LinePlace
  readonly all: CaseDiagnostic[] = []

  /** `line` is asked for where something is to be said. */
  constructor(line: () => string, n: number, place: LinePlace) {
    this.#line = line
    this.#n = n
    this.#place = place
  }

  error(code: CaseCode, message: string, path: Path, hint?: string, stretch?: OffsetRange): void {
    this.#say("error", code, message, path, undefined, hint, stretch)
  }

  /** `effect`: what is left out, or what counts instead. `hint`: what to do. */
  warn(code: CaseCode, message: string, path: Path, effect?: string, hint?: string): void {
    this.#say("warning", code, message, path, effect, hint)
  }

  /** A name that is not known, with the one that may be meant. */
  unknownName(
    code: CaseCode,
    message: string,
    name: string,
    known: Iterable<string>,
    path: Path,
    effect: string,
  ): void {
    const meant = closest(name, known)
    this.warn(code, message, path, effect, meant && `Did you mean \`${meant}\`?`)
  }

  /** A shop may add fields of its own; one that is nearly ours is likely a typing error. */
  spelling(fields: { readonly [key: string]: unknown }, known: readonly string[], path: Path): void {
    for (const name of Object.keys(fields)) {
      if (known.includes(name)) continue
      const meant = closest(name, known)
      if (meant !== undefined && fields[meant] === undefined)
        this.warn(
          "case-field",
          `${quote(name)} isn't a field that Ruleout reads.`,
          [...path, name],
          undefined,
          `Did you mean \`${meant}\`?`,
        )
    }
  }

  #say(
    severity: Severity,
    code: CaseCode,
    message: string,
    path: Path,
    effect?: string,
    hint?: string,
    stretch?: OffsetRange,
  ): void {
    const { start, end } = stretch ?? locate(this.#line().replace("\ufeff", " "), path)
    const { file, offset } = this.#place
    const span = { file, start: offset + start, end: offset + end }
    const help = [hint, effect].filter((text) => text !== undefined).join(" ") || undefined
    this.all.push({
      ...diagnostic(severity, code, span, message, { help }),
      line: this.#n,
      path: written(path),
      ...(hint === undefined ? {} : { hint }),
    })
  }
}

function written(path: Path): string {
  return path.reduce<string>(
    (text, key) => text + (typeof key === "number" ? `[${key}]` : `${text === "" ? "" : "."}${brief(key)}`),
    "",
  )
}

/** The user's own value in backticks, short, and safe to show. */
export function quote(value: unknown): string {
  return excerpt(typeof value === "string" ? value : JSON.stringify(value))
}
