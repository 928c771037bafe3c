import * as Plot from "@observablehq/plot"
import { countOf, rounded } from "../../compiler/wording/figures.ts"
import { showRows } from "../actions/case-filter.ts"
import type { CaseRow } from "../workers/replay.worker.ts"
import { savedBy } from "./case-order.ts"
import { leading, PlotFigure, plotStyle } from "./plot-figure.tsx"

export function MinutesSaved({ rows }: { rows: readonly CaseRow[] }) {
  const fixed = rows.filter(({ ending }) => ending === "fixed")
  const mean = fixed.reduce((sum, row) => sum + savedBy(row), 0) / fixed.length
  if (fixed.length === 0) return null
  return (
    <PlotFigure
      title="Minutes saved a job"
      says={`On average ${mean.toFixed(1)} minutes over ${fixed.length} cases that end fixed. Left of the line, the graph took longer.`}
      make={(width) => leading(drawn(fixed, mean, width), show)}
    />
  )
}

const rangeOf = (rows: readonly CaseRow[]) => {
  const saved = rows.map(savedBy)
  const [least, most] = [Math.min(...saved), Math.max(...saved)].map((n) => `${rounded(n)}`)
  return least === most ? `${least} minutes saved` : `${least} to ${most} minutes saved`
}

function show(rows: readonly CaseRow[]): void {
  showRows(`fixed, ${rangeOf(rows)}`, rows)
}

function drawn(rows: readonly CaseRow[], mean: number, width: number) {
  return Plot.plot({
    width,
    height: 210,
    marginBottom: 40,
    style: plotStyle,
    x: { label: "minutes saved against the record", tickFormat: (n: number) => `${rounded(n)}` },
    y: { label: "cases", grid: true, tickFormat: (n: number) => (Number.isInteger(n) ? `${n}` : "") },
    marks: [
      Plot.rectY(rows, {
        ...Plot.binX(
          {
            y: "count",
            title: (bin: readonly CaseRow[]) => `${rangeOf(bin)}\n${countOf(bin.length, "case")}`,
          },
          { x: { value: savedBy, thresholds: 16 } },
        ),
        fill: "var(--accent)",
        inset: 0.5,
        tip: true,
      }),
      Plot.ruleX([0], { stroke: "var(--ink)", strokeWidth: 2 }),
      Plot.ruleX([mean], { stroke: "var(--warn)", strokeDasharray: "4 3", strokeWidth: 2 }),
      Plot.ruleY([0]),
    ],
  })
}
