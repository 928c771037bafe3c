/** What there is to say of one line of cases, each remark at its place in the file. */
import { type Diagnostic, diagnostic, type Severity } from "../../diagnostics/diagnostic.ts"
import { quote as quoteText } from "../../diagnostics/escape.ts"
import { nearest } from "../../diagnostics/suggest.ts"
import type { CaseCode } from "./codes.ts"
import { locate, type Path, type Stretch } from "./json-locations.ts"

/** A finding in a line of cases: the span is in the whole file, `line` counts from 1, `path` is like `steps[2].test`. */
export interface CaseDiagnostic extends Diagnostic {
  readonly line: number
  readonly path: string
}

/** Where a line stands: name of the file, and offset of the line in it (UTF-16 code units). */
export interface Place {
  readonly file: string
  readonly offset: number
}

export class Remarks {
  readonly #line: string
  readonly #n: number
  readonly #place: Place
  readonly all: CaseDiagnostic[] = []

  constructor(line: string, n: number, place: Place) {
    this.#line = line
    this.#n = n
    this.#place = place
  }

  error(code: CaseCode, message: string, path: Path, help?: string, stretch?: Stretch): void {
    this.#say("error", code, message, path, help, stretch)
  }

  warn(code: CaseCode, message: string, path: Path, help?: string): void {
    this.#say("warning", code, message, path, help)
  }

  /** A name that is not known; `otherwise` says what becomes of the rest. */
  unknown(
    code: CaseCode,
    message: string,
    name: string,
    known: Iterable<string>,
    path: Path,
    otherwise: string,
  ): void {
    const meant = nearest(name, known)
    this.warn(
      code,
      message,
      path,
      meant === undefined ? otherwise : `Did you mean \`${meant}\`? ${otherwise}`,
    )
  }

  /** Fields of the shop's own are welcome; one that is nearly ours is a slip. */
  spelling(fields: { readonly [key: string]: unknown }, known: readonly string[], path: Path): void {
    for (const name of Object.keys(fields)) {
      if (known.includes(name)) continue
      const meant = nearest(name, known)
      if (meant !== undefined && fields[meant] === undefined)
        this.warn(
          "case-field",
          `${quote(name)} is taken for a field of your own.`,
          [...path, name],
          `Did you mean \`${meant}\`?`,
        )
    }
  }

  #say(
    severity: Severity,
    code: CaseCode,
    message: string,
    path: Path,
    help?: string,
    stretch?: Stretch,
  ): void {
    const { start, end } = stretch ?? locate(this.#line.replace("\ufeff", " "), path)
    const { file, offset } = this.#place
    const span = { file, start: offset + start, end: offset + end }
    this.all.push({
      ...diagnostic(severity, code, span, message, { help }),
      line: this.#n,
      path: written(path),
    })
  }
}

function written(path: Path): string {
  return path.reduce<string>(
    (text, key) => text + (typeof key === "number" ? `[${key}]` : text === "" ? key : `.${key}`),
    "",
  )
}

/** The user's own value in backticks, short, and safe to show. */
export function quote(value: unknown): string {
  return quoteText(typeof value === "string" ? value : JSON.stringify(value))
}
