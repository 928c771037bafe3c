/**
 * Nearest-name help: what the author most likely meant. The distance is the restricted Damerau-Levenshtein distance
 * ("optimal string alignment": F. Damerau, "A technique for computer detection and correction of spelling errors",
 * CACM 7(3), 1964), because two letters swapped are the most frequent mistake of fast typing and must count once.
 */

/** How many edits are still taken for a misspelling: the shorter the word, the more a wrong guess would mislead. */
function mostEdits(length: number): number {
  return length <= 2 ? 0 : length <= 5 ? 1 : length <= 8 ? 2 : MOST_EDITS
}
const MOST_EDITS = 3

/**
 * The candidate closest to `word`, or undefined if none is near enough to be meant. Upper and lower case and `-`
 * for `_` are no difference; ties go to the candidate that begins with the same letter, then to the first.
 */
export function closest(word: string, candidates: Iterable<string>): string | undefined {
  if (word.length > 100) return undefined
  const wanted = fold(word)
  let best: string | undefined
  let least = Number.POSITIVE_INFINITY
  for (const candidate of candidates) {
    if (candidate === word || Math.abs(candidate.length - word.length) > MOST_EDITS) continue
    const other = fold(candidate)
    const limit = Math.min(mostEdits(Math.max(wanted.length, other.length)), Math.floor(least))
    let far = isSwapped(wanted, other) ? 1 : distance(wanted, other, limit)
    if (far > limit && !isSwapped(wanted, other)) continue
    if (other[0] !== wanted[0]) far += 0.5
    if (far < least) {
      least = far
      best = candidate
    }
  }
  return best
}

function fold(word: string): string {
  return word.toLowerCase().replaceAll("-", "_")
}

/** `si` for `is`: the one misspelling that is clear even in a word of two letters. */
function isSwapped(a: string, b: string): boolean {
  return a.length === 2 && b.length === 2 && a[0] === b[1] && a[1] === b[0]
}

/** Insertions, deletions, substitutions and swaps of neighbours between `a` and `b`; `limit + 1` where there are more. */
export function distance(a: string, b: string, limit = Number.POSITIVE_INFINITY): number {
  if (a === b) return 0
  if (Math.abs(a.length - b.length) > limit) return limit + 1
  let twoAbove: number[] = []
  let above = Array.from({ length: b.length + 1 }, (_, j) => j)
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    let least = i
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1]
      let cost = Math.min(entry(above, j) + 1, entry(row, j - 1) + 1, entry(above, j - 1) + (same ? 0 : 1))
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        cost = Math.min(cost, entry(twoAbove, j - 2) + 1)
      row.push(cost)
      if (cost < least) least = cost
    }
    if (least > limit) return limit + 1
    twoAbove = above
    above = row
  }
  return Math.min(entry(above, b.length), limit + 1)
}

/** Beyond its ends a row is infinitely far away. */
function entry(row: readonly number[], j: number): number {
  return row[j] ?? Number.POSITIVE_INFINITY
}
