import type { RawComment } from "./tokens.ts"
import type { Comment } from "./tree.ts"

/** The comments around one declaration. */
export interface Around {
  readonly leading: readonly Comment[]
  readonly inner: readonly Comment[]
  readonly blankBefore: boolean
  readonly detached?: boolean
}

/** Where a declaration stands, and the blank line before it. */
export interface Place {
  readonly start: number
  readonly end: number
}

/**
 * Gives each comment to a declaration. Within one, or behind it on its last line: to that one (`inner`). On lines of
 * their own, further indented than its keyword and with no blank line between: still to that one, as a technician
 * would read it. All others lead the next declaration, or trail the file.
 */
export function placeComments(
  file: string,
  text: string,
  comments: readonly RawComment[],
  places: readonly Place[],
): { around: Around[]; trailing: Comment[] } {
  const around: Around[] = []
  let next = 0
  let innerOfLast: Comment[] = []
  let lastEnd = 0
  let column = 0

  const comment = (raw: RawComment): Comment => ({
    text: raw.text,
    span: { file, start: raw.start, end: raw.end },
    blankBefore: raw.blankBefore,
    ownLine: raw.first,
  })
  const belongsToLast = (raw: RawComment): boolean =>
    around.length > 0 && (!raw.first || (!raw.blankBefore && columnOf(text, raw.start) > column))

  for (const place of places) {
    while (next < comments.length && comments[next]!.start < place.start && belongsToLast(comments[next]!)) {
      const raw = comments[next++]!
      innerOfLast.push(comment(raw))
      lastEnd = raw.end
    }
    const leading: Comment[] = []
    let blankBefore: boolean | undefined
    while (next < comments.length && comments[next]!.start < place.start) {
      const raw = comments[next++]!
      leading.push(comment(raw))
      blankBefore ??= raw.blankBefore
      lastEnd = raw.end
    }
    const blank = hasBlankLine(text, lastEnd, place.start)
    const inner: Comment[] = []
    while (next < comments.length && comments[next]!.start < place.end) inner.push(comment(comments[next++]!))
    around.push({
      leading,
      inner,
      blankBefore: blankBefore ?? blank,
      ...(leading.length > 0 && blank ? { detached: true } : {}),
    })
    innerOfLast = inner
    lastEnd = place.end
    column = columnOf(text, place.start)
  }
  while (next < comments.length && belongsToLast(comments[next]!))
    innerOfLast.push(comment(comments[next++]!))
  return { around, trailing: comments.slice(next).map(comment) }
}

function columnOf(text: string, offset: number): number {
  return offset - Math.max(text.lastIndexOf("\n", offset - 1), text.lastIndexOf("\r", offset - 1)) - 1
}

function hasBlankLine(text: string, start: number, end: number): boolean {
  return /(?:\r\n?|\n)[ \t]*(?:\r\n?|\n)/.test(text.slice(start, end))
}
