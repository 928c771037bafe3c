import type { NodeIndex } from "../run/indexes.ts"
import { at, lookUp } from "../run/lookup.ts"
import type { Drawing, DrawnEdge, DrawnStep } from "./drawing.ts"

/** One box of the picture, or the end of a way that continues elsewhere. */
export interface Placed {
  readonly column: number
  readonly row: number
  /** Steps with ways on are numbered in reading order, from 1. */
  readonly number: number | undefined
  /** Undefined if the way continues at the step numbered `again`, or isn't drawn. */
  readonly step: DrawnStep | undefined
  readonly again: number | undefined
  readonly from: { readonly column: number; readonly row: number } | undefined
  readonly way: DrawnEdge | undefined
}

export interface Layout {
  readonly items: readonly Placed[]
  readonly columns: number
  readonly rows: number
}

interface Waiting {
  /** Undefined at the end of the job, and where the way isn't drawn. */
  readonly node: NodeIndex | undefined
  readonly from?: Placed
  readonly way?: DrawnEdge
  readonly first: boolean
}

function nodeOf({ to }: DrawnEdge): NodeIndex | undefined {
  return to === "end" ? undefined : to
}

/**
 * A tree without crossings: a step is one column right of the one before it, its likeliest way in the same row, each
 * other way as high as there is room. A line down from a step runs in the gap beside its column, so a later step of that
 * column, whose own line on would cross it, goes below its end; a leaf has no line on and may be beside it.
 */
export function placed({ steps }: Drawing): Layout {
  const byNode = new Map(steps.map((step) => [step.node, step]))
  const numbers = new Map(steps.filter(({ ways }) => ways.length > 0).map(({ node }, i) => [node, i + 1]))
  const items: Placed[] = []
  const drawn = new Set<NodeIndex>()
  /** By column, the first row that is free for a box; for a line on, in the gap to its right. */
  const free: number[] = []
  const open: number[] = []

  const goesOn = (node: NodeIndex | undefined): node is NodeIndex =>
    node !== undefined && numbers.has(node) && !drawn.has(node)
  /** The row where this node and all that will stand straight on from it have room. */
  const rowFor = (start: NodeIndex | undefined, first: number): number => {
    let row = free[first] ?? 0
    let column = first
    for (let node = start; goesOn(node); node = nodeOf(at(lookUp(byNode, node).ways, 0))) {
      row = Math.max(row, open[column] ?? 0, free[++column] ?? 0)
    }
    return row
  }

  // Not by recursion: a graph from elsewhere may be as deep as it is long.
  const waiting: Waiting[] = [{ node: at(steps, 0).node, first: true }]
  for (let next = waiting.pop(); next; next = waiting.pop()) {
    const { node, from, way, first } = next
    const column = from === undefined ? 0 : from.column + 1
    const row = from !== undefined && first ? from.row : rowFor(node, column)
    const isInner = goesOn(node)
    const number = node === undefined ? undefined : numbers.get(node)
    const again = isInner ? undefined : number
    const step = node === undefined || again !== undefined ? undefined : byNode.get(node)
    const item: Placed = { column, row, number: isInner ? number : undefined, step, again, from, way }
    items.push(item)
    free[column] = row + 1
    if (from !== undefined) open[from.column] = Math.max(open[from.column] ?? 0, row + 1)
    if (!isInner) continue
    drawn.add(node)
    const { ways } = lookUp(byNode, node)
    for (const [i, each] of [...ways.entries()].reverse())
      waiting.push({ node: nodeOf(each), from: item, way: each, first: i === 0 })
  }
  return { items, columns: free.length, rows: Math.max(...free) }
}
