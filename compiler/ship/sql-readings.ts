/** The rows that say how a value that was found becomes a cell, and how the cells of a test become one number. */

import { unitSymbols } from "../model/units.ts"
import type { Graph } from "../run/graph.ts"
import { convert } from "../run/index.ts"
import type { TestIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { quantityOf } from "./quantity.ts"

type Row = (string | number | undefined)[]

/** Half a grid step, as the runner rounds: up, with room for binary fractions. */
const HALF = 0.5 + 1e-9

/** reading, its name, cell, and the cell's value or, with its label, the range of numbers that it holds. */
export function cellRows(graph: Graph): Row[] {
  return graph.readings.flatMap((read, reading) => {
    const { name, cells } = read
    const quantity = quantityOf(read)
    if (quantity === undefined)
      return cells.flatMap(({ values = [] }, c) =>
        values.map((value): Row => [reading, name, c, value, undefined, undefined, undefined]),
      )
    const { from, to, by } = quantity
    const step = (value: number) => Math.floor((value - from) / by + HALF)
    return quantity.cells.map((cell, c): Row => {
      const low = Math.max(from, from + (step(cell.from) - HALF) * by)
      return [reading, name, c, at(cells, c).label, low, from + (step(cell.to) + 1 - HALF) * by, to]
    })
  })
}

/** Converts a number in another unit of the same dimension to the reading's own: number × factor + shift. */
export function unitRows(graph: Graph): Row[] {
  return graph.readings.flatMap(({ name, unit: own }) => {
    if (own === undefined) return []
    return [...new Set([...unitSymbols(), own])].flatMap((unit): Row[] => {
      const [zero, one] = [convert(0, unit, own), convert(1, unit, own)]
      return zero === undefined || one === undefined ? [] : [[name, unit, one - zero, zero]]
    })
  })
}

/** test, reading, what one of its cells counts, and how many readings the test takes. */
export function needRows(graph: Graph): Row[] {
  return graph.model.tests.flatMap(({ reads = [] }, test) => {
    const { kind } = at(graph.tests, test)
    if (kind !== "reads" && kind !== "told") return []
    const own = strides(graph, test)
    return reads.map((reading, i) => [test, reading, at(own, i), reads.length])
  })
}

/** Mixed radix: one integer for each combination of cells. */
export function strides(graph: Graph, test: TestIndex): number[] {
  let stride = 1
  return (at(graph.model.tests, test).reads ?? []).map((reading) => {
    const own = stride
    stride *= at(graph.readings, reading).cells.length
    return own
  })
}
