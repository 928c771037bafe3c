import type { Change } from "../diagnostics/diagnostic.ts"

/** The one change that makes `next` of `text`, as short as it can be; undefined if they are the same. */
export function changeBetween(file: string, text: string, next: string): Change | undefined {
  if (next === text) return undefined
  let start = 0
  const most = Math.min(text.length, next.length)
  while (start < most && text[start] === next[start]) start++
  let tail = 0
  while (tail < most - start && text[text.length - 1 - tail] === next[next.length - 1 - tail]) tail++
  const span = { file, start, end: text.length - tail }
  return { span, text: next.slice(start, next.length - tail) }
}
