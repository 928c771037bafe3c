import { Lines } from "../../compiler/diagnostics/line-index.ts"

/** As many texts stay indexed. */
const MOST = 6

/** By text, the one asked for first first. */
const indexes = new Map<string, Lines>()

/** The line of an offset, from 1. Many places of one text are asked for, one after the other. */
export function lineOf(text: string, offset: number): number {
  let lines = indexes.get(text)
  if (!lines) {
    lines = new Lines(text)
    indexes.set(text, lines)
    const [oldest] = indexes.keys()
    if (indexes.size > MOST && oldest !== undefined) indexes.delete(oldest)
  }
  return lines.at(offset).line
}
