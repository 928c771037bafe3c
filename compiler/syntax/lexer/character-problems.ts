import { type Diagnostic, diagnostic, type Span } from "../../diagnostics/diagnostic.ts"
import { codePoints, excerpt } from "../../diagnostics/escape.ts"
import { at } from "../../run/lookup.ts"
import type { SyntaxCode } from "../codes.ts"

/** More problems than this are not listed: with so many, fix the first ones and run again. */
export const MOST_PROBLEMS = 100

/** What nobody sees: control characters but for tab and line break, turns of direction, and halves of a character. */
export const HIDDEN = /(?![\t\r\n])[\p{Cc}\p{Surrogate}\u2028-\u202e\u2066-\u2069\ufeff]/u
const HIDDEN_RUN = new RegExp(`(?:${HIDDEN.source})+`, "gu")

/** Characters that stand for others, and those others. */
interface Substitution {
  readonly span: Span
  readonly content: string
  readonly text: string
}

/** Collects what the characters of a file give to report, and resolves texts on the way. */
export class CharacterProblems {
  readonly diagnostics: Diagnostic[] = []
  /** Some text belongs to no token, or was read as something other than what was typed. */
  isDamaged = false
  /** Enough is reported: what comes after is counted as damage, and no message is made for it. */
  get #isFull(): boolean {
    return this.diagnostics.length > MOST_PROBLEMS
  }

  /** What word processors put in everywhere is reported once in a file, so that it leaves room for others. */
  readonly #oddSpaces: Substitution[] = []
  readonly #quotedTexts: Substitution[] = []
  readonly #file: string

  constructor(file: string) {
    this.#file = file
  }

  byteOrderMark(): void {
    const span = this.#span(0, 1)
    this.#say(
      "warning",
      "byte-order-mark",
      span,
      "The file begins with a byte order mark, which isn't needed.",
      "",
      {
        title: "Remove the byte order mark",
        safe: true,
        changes: [{ span, text: "" }],
      },
    )
  }

  oddSpace(start: number, end: number, content: string): void {
    this.#oddSpaces.push({ span: this.#span(start, end), content, text: " " })
  }

  stray(text: string, start: number, end: number): void {
    this.isDamaged = true
    if (this.#isFull) return
    const content = text.slice(start, Math.min(end, start + 100))
    const span = this.#span(start, end)
    const meant = meantBy(content, text.slice(end, end + 20))
    if (meant !== undefined) {
      const whole = this.#span(start, end + meant.more)
      this.#add("stray-character", span, `${excerpt(content)} ${meant.says}.`, "", {
        title: `Write \`${meant.text}\``,
        safe: false,
        changes: [
          {
            span: whole,
            text: meant.apart && /\S/.test(text[start - 1] ?? "") ? ` ${meant.text}` : meant.text,
          },
        ],
      })
      return
    }
    const what = HIDDEN.test(content) ? codePoints(content) : excerpt(content)
    this.#add(
      "stray-character",
      span,
      `${what} has no meaning in a ruleset.`,
      'Remove it, or put it between `"` and `"` if it belongs to a text.',
      {
        title: "Remove it",
        safe: false,
        changes: [{ span, text: "" }],
      },
    )
  }

  /** The run reported last goes on. */
  strayMore(text: string, start: number, end: number): void {
    if (this.#isFull) return
    this.diagnostics.pop()
    this.stray(text, start, end)
  }

  openText(start: number, content: string): void {
    this.isDamaged = true
    if (this.#isFull) return
    const end = start + content.length
    this.#add(
      "open-text",
      this.#span(start, end),
      `The text ${excerpt(content)} has no closing \`"\` on its line.`,
      'A text goes between `"` and `"`, on one line.',
      {
        title: 'Close it with `"`',
        safe: false,
        changes: [{ span: this.#span(end, end), text: '"' }],
      },
    )
  }

  /** What the text between quotes says. */
  resolve(literal: string, start: number): string {
    const inner = literal.slice(1, -1)
    if (!literal.startsWith('"') || !literal.endsWith('"')) {
      const span = this.#span(start, start + literal.length)
      this.isDamaged = true
      this.#quotedTexts.push({ span, content: literal, text: `"${inner.replaceAll("\\", "\\\\")}"` })
      return inner
    }
    if (!inner.includes("\\")) return inner
    return inner.replace(/\\(.)/gsu, (pair, character: string, offset: number) => {
      if (character === '"' || character === "\\") return character
      const span = this.#span(start + 1 + offset, start + 1 + offset + pair.length)
      this.#add(
        "bad-escape",
        span,
        `${excerpt(pair)} has no meaning in a text.`,
        'Only `\\"` and `\\\\` have a backslash; a backslash itself is `\\\\`.',
        {
          title: "Double the backslash",
          safe: false,
          changes: [{ span, text: `\\${pair}` }],
        },
      )
      return pair
    })
  }

  /** Reports what cannot be seen in a text or comment, where any other character may stand. */
  hidden(content: string, start: number, where: "text" | "comment"): void {
    this.isDamaged ||= HIDDEN.test(content)
    if (this.#isFull) return
    for (const match of content.matchAll(HIDDEN_RUN)) {
      const span = this.#span(start + match.index, start + match.index + match[0].length)
      this.#add(
        "hidden-character",
        span,
        `This ${where} holds ${codePoints(match[0])}, which can't be seen.`,
        "Remove it: what is read at the bench must be what was written.",
        {
          title: "Remove it",
          safe: false,
          changes: [{ span, text: "" }],
        },
      )
    }
  }

  /** Reports what was collected over the file. */
  close(): void {
    const [space] = this.#oddSpaces
    if (space !== undefined) {
      const message = `${codePoints(space.content)} is an unusual space${others(this.#oddSpaces, "is", "are")}.`
      this.#say(
        "warning",
        "odd-space",
        space.span,
        message,
        "",
        allOf("Write a plain space", "Write plain spaces", this.#oddSpaces),
      )
    }
    const [bent] = this.#quotedTexts
    if (bent === undefined) return
    const message = `The text ${excerpt(bent.content)} has ${quotesOf(bent.content)} quotes${others(this.#quotedTexts, "has", "have")}.`
    const help = 'A text goes between straight quotes, `"` and `"`.'
    this.#add(
      "curly-quotes",
      bent.span,
      message,
      help,
      allOf("Write straight quotes", "Write straight quotes everywhere", this.#quotedTexts),
    )
  }

  #span(start: number, end: number): Span {
    return { file: this.#file, start, end }
  }

  #add(code: SyntaxCode, span: Span, message: string, help: string, edit: Diagnostic["edits"][number]): void {
    this.isDamaged = true
    this.#say("error", code, span, message, help, edit)
  }

  #say(
    severity: "error" | "warning",
    code: SyntaxCode,
    span: Span,
    message: string,
    help: string,
    edit: Diagnostic["edits"][number],
  ): void {
    if (!this.#isFull)
      this.diagnostics.push(
        diagnostic(severity, code, span, message, { help: help || undefined, edits: [edit] }),
      )
  }
}

const STRAY: ReadonlySet<string> = new Set(["stray-character", "open-text"] satisfies SyntaxCode[])

/** Forgets the stray characters of a stretch that turned out to be a text without quotes. */
export function forgetStray(diagnostics: Diagnostic[], { start, end }: Span): void {
  for (let i = diagnostics.length - 1; i >= 0; i--) {
    const { code, span } = at(diagnostics, i)
    if (STRAY.has(code) && span.start >= start && span.end <= end) diagnostics.splice(i, 1)
  }
}

function quotesOf(literal: string): string {
  return /^[«»]/.test(literal) ? "pointed" : /^['‘‚]/.test(literal) ? "single" : "curly"
}

/** Stray characters of which it is clear what they were to say, by what follows; `more`: how much of that goes too. */
function meantBy(
  content: string,
  after: string,
): { says: string; text: string; more: number; apart?: true } | undefined {
  if (content === "//") return { says: "doesn't begin a comment; `#` does", text: "#", more: 0 }
  if (/^[–—−]$/.test(content) && /^[0-9]/.test(after))
    return { says: "isn't a plain minus sign", text: "-", more: 0 }
  const hour = content === "/" ? /^\s*h(?:our)?\b/.exec(after) : null
  if (hour === null) return undefined
  return { says: "is written `per`", text: "per hour", more: hour[0].length, apart: true }
}

function others({ length }: readonly Substitution[], one: string, many: string): string {
  return length === 1 ? "" : `, and so ${length === 2 ? `${one} 1` : `${many} ${length - 1}`} more`
}

function allOf(one: string, many: string, places: readonly Substitution[]): Diagnostic["edits"][number] {
  return {
    title: places.length === 1 ? one : many,
    safe: true,
    changes: places.map(({ span, text }) => ({ span, text })),
  }
}
