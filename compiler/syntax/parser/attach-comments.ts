import { lineBreaks, type RawComment } from "../lexer/lexer.ts"
import type { Comment } from "../syntax-tree.ts"

/** The comments around one declaration. */
export interface AttachedComments {
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
 * Gives each comment to a declaration. Within one, or after it on its last line: to that one (`inner`). On lines of
 * their own, further indented than its keyword and with no blank line between: still to that one, as a technician
 * would read it. All others lead the next declaration, or trail the file.
 */
export function placeComments(
  file: string,
  text: string,
  comments: readonly RawComment[],
  places: readonly Place[],
): { around: AttachedComments[]; trailing: Comment[] } {
  const around: AttachedComments[] = []
  let next = 0
  let innerOfLast: Comment[] = []
  let lastEnd = 0
  // Found only where a comment asks for it: on one long line, each would be a walk back to the first.
  let lastStart = 0
  let column: number | undefined

  const comment = (raw: RawComment): Comment => ({
    text: raw.text,
    span: { file, start: raw.start, end: raw.end },
    blankBefore: raw.blankBefore,
    ownLine: raw.first,
  })
  const belongsToLast = (raw: RawComment): boolean => {
    if (around.length === 0) return false
    if (!raw.first || raw.blankBefore) return !raw.first
    column ??= columnOf(text, lastStart)
    return columnOf(text, raw.start) > column
  }

  /** The next comments, as long as they are wanted. */
  const taken = (isWanted: (raw: RawComment) => boolean): RawComment[] => {
    const start = next
    for (let raw = comments[next]; raw !== undefined && isWanted(raw); raw = comments[next]) next++
    return comments.slice(start, next)
  }

  for (const place of places) {
    const after = taken((raw) => raw.start < place.start && belongsToLast(raw))
    innerOfLast.push(...after.map(comment))
    const before = taken((raw) => raw.start < place.start)
    lastEnd = before.at(-1)?.end ?? after.at(-1)?.end ?? lastEnd
    const blank = lineBreaks(text, lastEnd, place.start) > 1
    const inner = taken((raw) => raw.start < place.end).map(comment)
    around.push({
      leading: before.map(comment),
      inner,
      blankBefore: before[0]?.blankBefore ?? blank,
      ...(before.length > 0 && blank ? { detached: true } : {}),
    })
    innerOfLast = inner
    lastEnd = place.end
    lastStart = place.start
    column = undefined
  }
  innerOfLast.push(...taken(belongsToLast).map(comment))
  return { around, trailing: comments.slice(next).map(comment) }
}

function columnOf(text: string, offset: number): number {
  let start = offset
  while (start > 0 && !isLineEnd(text.charCodeAt(start - 1))) start--
  return offset - start
}

function isLineEnd(code: number): boolean {
  return code === 0x0a || code === 0x0d
}
