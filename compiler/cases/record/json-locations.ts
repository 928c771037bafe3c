/**
 * Where values stand in one line of JSON. `JSON.parse` reads the line, fast; the line is read again here, slowly, only when
 * a diagnostic needs a place in it.
 */
import { excerpt } from "../../diagnostics/escape.ts"

export type Path = readonly (string | number)[]

/** Offsets in the line, `end` not included. */
export interface OffsetRange {
  readonly start: number
  readonly end: number
}

/** The stretch of the value at `path`, or of the last part of the path that is there. A doubled key: the last one counts. */
export function locate(line: string, path: Path): OffsetRange {
  let best: OffsetRange = { start: 0, end: line.length }
  let depth = -1
  scan(line, (at, stretch) => {
    if (at.length < depth || at.length > path.length || at.some((key, i) => key !== path[i])) return
    depth = at.length
    best = stretch
  })
  return best
}

/** Where a line stops being JSON, and what is wrong there, in words; undefined if the line is JSON. */
export function flaw(line: string): { at: number; says: string } | undefined {
  return scan(line, () => {})
}

/** Deep enough for any record; a line nested deeper is not one. */
const DEEPEST = 200

class Flaw {
  readonly at: number
  readonly says: string
  constructor(at: number, says: string) {
    this.at = at
    this.says = says
  }
}

type Visit = (at: Path, stretch: OffsetRange) => void

/** Calls `visit` on every value, inner ones first: `at` is its path. Returns the first flaw. */
function scan(line: string, visit: Visit): Flaw | undefined {
  try {
    new Scanner(line, visit).line()
  } catch (problem) {
    if (problem instanceof Flaw) return problem
    throw problem
  }
  return undefined
}

/** Recursive descent over one line; the first flaw is thrown. */
class Scanner {
  readonly #line: string
  readonly #visit: Visit
  /** Path of the value that is being read. */
  readonly #path: (string | number)[] = []
  #at = 0

  constructor(line: string, visit: Visit) {
    this.#line = line
    this.#visit = visit
  }

  line(): void {
    this.#value()
    this.#space()
    if (this.#at < this.#line.length) this.#fail("the end of the line")
  }

  #peek(): string | undefined {
    return this.#line[this.#at]
  }

  #space(): void {
    while (this.#at < this.#line.length && " \t\r\n".includes(this.#line.charAt(this.#at))) this.#at++
  }

  #fail(expected: string): never {
    const found = this.#line.codePointAt(this.#at)
    throw new Flaw(
      this.#at,
      found === undefined
        ? `expected ${expected}, but the line ends`
        : `expected ${expected}, found ${excerpt(String.fromCodePoint(found))}`,
    )
  }

  #take(pattern: RegExp): boolean {
    pattern.lastIndex = this.#at
    const found = pattern.exec(this.#line)?.[0]
    this.#at += found?.length ?? 0
    return found !== undefined
  }

  #value(): void {
    this.#space()
    const start = this.#at
    if (this.#path.length > DEEPEST) throw new Flaw(start, `values are nested more than ${DEEPEST} deep`)
    if (this.#peek() === "{") this.#items("}", () => this.#member())
    else if (this.#peek() === "[")
      this.#items("]", (n) => {
        this.#path.push(n)
        this.#value()
        this.#path.pop()
      })
    else if (this.#peek() === '"') this.#text()
    else if (!this.#take(/-?(0|[1-9]\d*)(\.\d+)?([eE][+-]?\d+)?|true|false|null/y)) this.#fail("a value")
    this.#visit(this.#path, { start, end: this.#at })
  }

  #member(): void {
    if (this.#peek() !== '"') this.#fail('a name in `"`')
    const key = this.#text()
    this.#space()
    if (this.#peek() !== ":") this.#fail("`:`")
    this.#at++
    this.#path.push(key)
    this.#value()
    this.#path.pop()
  }

  #items(close: string, item: (n: number) => void): void {
    this.#at++
    this.#space()
    for (let n = 0; n > 0 || this.#peek() !== close; n++) {
      item(n)
      this.#space()
      if (this.#peek() === close) break
      if (this.#peek() !== ",") this.#fail(`\`,\` or \`${close}\``)
      this.#at++
      this.#space()
    }
    this.#at++
  }

  #text(): string {
    const start = this.#at++
    for (; this.#peek() !== undefined && this.#peek() !== '"'; this.#at++) {
      if (this.#line.charCodeAt(this.#at) < 32)
        throw new Flaw(this.#at, "a control character must be escaped inside quotes")
      if (this.#peek() !== "\\") continue
      if (!this.#take(/\\(["\\/bfnrt]|u[0-9a-fA-F]{4})/y))
        throw new Flaw(this.#at, "unknown escape: write a backslash as `\\\\`")
      this.#at--
    }
    if (this.#peek() === undefined) throw new Flaw(start, 'this `"` is never closed')
    this.#at++
    return JSON.parse(this.#line.slice(start, this.#at)) as string
  }
}
