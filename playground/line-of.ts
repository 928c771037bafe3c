import { Lines } from "../compiler/diagnostics/line-index.ts"

const indexes = new Map<string, Lines>()
const MOST = 6

/** The line of an offset, from 1. The last few texts stay indexed, since many places of one text are asked for. */
export function lineOf(text: string, offset: number): number {
  let lines = indexes.get(text)
  if (!lines) {
    lines = new Lines(text)
    indexes.set(text, lines)
    if (indexes.size > MOST) indexes.delete(indexes.keys().next().value!)
  }
  return lines.at(offset).line
}
