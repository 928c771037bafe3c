import type { Graph } from "../run/graph.ts"

/**
 * The one spelling of a graph: keys sorted, numbers as JSON writes them, one line to each entry of the long lists, so
 * that two versions can be compared by eye and the same graph is always the same bytes.
 */
export function graphText(graph: Graph): string {
  const lines = Object.keys(graph)
    .sort()
    .map((key) => `${JSON.stringify(key)}: ${fieldText(graph[key as keyof Graph])}`)
  return `{\n${lines.join(",\n")}\n}\n`
}

function fieldText(value: unknown): string {
  if (!Array.isArray(value) || value.length === 0) return compact(value)
  return `[\n${value.map((item) => `  ${compact(item)}`).join(",\n")}\n]`
}

function compact(value: unknown): string {
  return JSON.stringify(value, (_, inner: unknown) =>
    typeof inner === "object" && inner !== null && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)))
      : inner,
  )
}

/** Figures that the plan derives are kept to 12 digits: far finer than any use, and free of rounding's last digits. */
export function derived(value: number): number {
  return Number(value.toPrecision(12))
}
