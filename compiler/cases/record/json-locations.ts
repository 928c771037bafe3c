/**
 * Where things stand in one line of JSON. `JSON.parse` reads the line, fast; only when there is something to say about
 * it is the line read again here, slowly, for the place.
 */
import { quote } from "../../diagnostics/escape.ts"

export type Path = readonly (string | number)[]

/** Offsets in the line, `end` not included. */
export interface Stretch {
  readonly start: number
  readonly end: number
}

/** The stretch of the value at `path`, or of the last part of the path that is there. A doubled key: the last one counts. */
export function locate(line: string, path: Path): Stretch {
  let best: Stretch = { start: 0, end: line.length }
  let depth = -1
  scan(line, (at, stretch) => {
    if (at.length < depth || at.length > path.length || at.some((key, i) => key !== path[i])) return
    depth = at.length
    best = stretch
  })
  return best
}

/** Where a line stops being JSON, and what is wrong there, in words; nothing if the line is right. */
export function flaw(line: string): { at: number; says: string } | undefined {
  return scan(line, () => {})
}

/** Deep enough for any record; a line nested deeper is not one. */
const deepest = 200

class Flaw {
  readonly at: number
  readonly says: string
  constructor(at: number, says: string) {
    this.at = at
    this.says = says
  }
}

/** Calls `visit` on every value, inner ones first: `at` is its path. Returns the first flaw. */
function scan(line: string, visit: (at: Path, stretch: Stretch) => void): Flaw | undefined {
  const at: (string | number)[] = []
  let i = 0

  const space = () => {
    while (i < line.length && " \t\r\n".includes(line[i]!)) i++
  }
  const fail = (expected: string): never => {
    const found =
      i >= line.length ? "the line ends" : `${quote(String.fromCodePoint(line.codePointAt(i)!))} stands`
    throw new Flaw(i, `${found} where ${expected} is expected`)
  }
  const take = (pattern: RegExp): string | undefined => {
    pattern.lastIndex = i
    const found = pattern.exec(line)?.[0]
    if (found !== undefined) i += found.length
    return found
  }
  const text = (): string => {
    const start = i++
    for (; i < line.length && line[i] !== '"'; i++) {
      if (line.charCodeAt(i) < 32) throw new Flaw(i, "a control character stands inside the quotes")
      if (line[i] !== "\\") continue
      if (!take(/\\(["\\/bfnrt]|u[0-9a-fA-F]{4})/y))
        throw new Flaw(i, "no such escape: a backslash is written `\\\\`")
      i--
    }
    if (i >= line.length) throw new Flaw(start, 'this `"` is never closed')
    i++
    return JSON.parse(line.slice(start, i)) as string
  }
  const items = (close: string, item: (n: number) => void) => {
    i++
    space()
    if (line[i] === close) return void i++
    for (let n = 0; ; n++) {
      item(n)
      space()
      if (line[i] === close) return void i++
      if (line[i] !== ",") fail(`\`,\` or \`${close}\``)
      i++
      space()
    }
  }
  const value = () => {
    space()
    const start = i
    if (at.length > deepest) throw new Flaw(i, `it is nested more than ${deepest} deep`)
    if (line[i] === "{")
      items("}", () => {
        if (line[i] !== '"') fail('a name in `"`')
        const key = text()
        space()
        if (line[i] !== ":") fail("`:`")
        i++
        at.push(key)
        value()
        at.pop()
      })
    else if (line[i] === "[")
      items("]", (n) => {
        at.push(n)
        value()
        at.pop()
      })
    else if (line[i] === '"') text()
    else if (!take(/-?(0|[1-9]\d*)(\.\d+)?([eE][+-]?\d+)?|true|false|null/y)) fail("a value")
    visit(at, { start, end: i })
  }

  try {
    value()
    space()
    if (i < line.length) fail("the end of the line")
  } catch (problem) {
    if (problem instanceof Flaw) return problem
    throw problem
  }
  return undefined
}
