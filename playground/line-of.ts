const starts = new Map<string, readonly number[]>()
const kept = 6

/** The line, from 1, of an offset. The line starts of the last few texts are kept: many places of one text are asked for. */
export function lineOf(text: string, offset: number): number {
  let table = starts.get(text)
  if (!table) {
    table = [...text.matchAll(/\n/g)].map((match) => match.index + 1)
    starts.set(text, table)
    if (starts.size > kept) starts.delete(starts.keys().next().value!)
  }
  let low = 0
  let high = table.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (table[middle]! <= offset) low = middle + 1
    else high = middle
  }
  return low + 1
}
