import { type Diagnostic, diagnostic, type Edit, type Label, type Severity, type Span } from "./diagnostic.ts"

interface More {
  readonly labels?: readonly Label[]
  readonly help?: string | undefined
  readonly edits?: readonly Edit[]
}

/** For each code its severity and when it is reported. */
export type CodeTable<Code extends string> = Readonly<Record<Code, readonly [Severity, string]>>

/**
 * Collects the diagnostics of one stage, whose codes and their severities are given. Nothing more is said of the
 * stretches in `broken`, where the parser gave up and said why.
 */
export class Collector<Code extends string> {
  readonly diagnostics: Diagnostic[] = []
  readonly #codes: CodeTable<Code>
  readonly #broken: ReadonlyMap<string, readonly Span[]>
  #gaveUp = false

  constructor(codes: CodeTable<Code>, broken: readonly Span[] = []) {
    this.#codes = codes
    this.#broken = byFile(broken)
    if (broken.length > 0) this.giveUp()
  }

  say(code: Code, span: Span, message: string, more: More = {}): undefined {
    if (this.isBroken(span)) return
    this.diagnostics.push(diagnostic(this.#codes[code][0], code, span, message, more))
    return undefined
  }

  /** Whether a place is in a stretch of which nothing more is said. */
  isBroken(span: Span): boolean {
    const stretches = this.#broken.get(span.file) ?? []
    // They are in order and apart: the last one that begins before the place is the one that may hold it.
    let [low, high] = [0, stretches.length]
    while (low < high) {
      const middle = (low + high) >> 1
      const stretch = stretches[middle]
      if (stretch !== undefined && stretch.start <= span.start) low = middle + 1
      else high = middle
    }
    const before = stretches[low - 1]
    return before !== undefined && span.end <= before.end
  }

  /** Something is unusable and the author has been told of it already, here or by the parser. */
  giveUp(): undefined {
    this.#gaveUp = true
  }

  get failed(): boolean {
    return this.#gaveUp || this.diagnostics.some(({ severity }) => severity === "error")
  }
}

function byFile(spans: readonly Span[]): Map<string, Span[]> {
  const files = new Map<string, Span[]>()
  for (const span of spans) {
    const file = files.get(span.file)
    if (file === undefined) files.set(span.file, [span])
    else file.push(span)
  }
  return files
}

/** An edit of one place. Not `safe` unless said: most of ours are a good guess at what the author meant. */
export function replace(span: Span, text: string, title = `Write \`${text}\``, safe = false): Edit {
  return { title, safe, changes: [{ span, text }] }
}

/** An edit that writes `text` right after `span`. */
export function insertAfter(span: Span, text: string, title: string): Edit {
  return {
    title,
    safe: false,
    changes: [{ span: { file: span.file, start: span.end, end: span.end }, text }],
  }
}
