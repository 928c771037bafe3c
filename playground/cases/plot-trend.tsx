import * as Plot from "@observablehq/plot"
import { endingLabel } from "../../compiler/cases/report/sections.ts"
import { itemAt, last } from "../../compiler/run/lookup.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import { showRows } from "../actions/case-filter.ts"
import { percent } from "../ui/figures.ts"
import type { CaseRow } from "../workers/replay.worker.ts"
import {
  ENDINGS,
  type Ending,
  endingColours,
  leading,
  PlotFigure,
  plotStyle,
  wholeTicks,
} from "./plot-figure.tsx"
import { fixedOf, type Period, periodsOf } from "./trend.ts"

interface Bar {
  readonly period: string
  readonly ending: Ending
  readonly rows: readonly CaseRow[]
}

/** Whether jobs end better or worse as time goes on. */
export function Trend({ rows }: { rows: readonly CaseRow[] }) {
  const periods = periodsOf(rows)
  if (periods.length === 0) return null
  return (
    <PlotFigure
      title="How the jobs end, over time"
      says={saidOf(periods)}
      make={(width) => leading(drawn(periods, width), show)}
    />
  )
}

function saidOf(periods: readonly Period[]): string {
  const middle = Math.ceil(periods.length / 2)
  const half = (list: readonly Period[]) => {
    const { fixed, of } = fixedOf(list.flatMap(({ rows }) => rows))
    const range = [...new Set([itemAt(list, 0).name, last(list).name])].join(" to ")
    return of === 0 ? `${range}: none came to an end` : `${range}: ${percent(fixed / of)} of ${of} end fixed`
  }
  return `${half(periods.slice(0, middle))}; ${half(periods.slice(middle))}.`
}

function show({ period, ending, rows }: Bar): void {
  showRows(`${period}, ${endingLabel[ending]}`, rows)
}

function drawn(periods: readonly Period[], width: number) {
  const bars = periods.flatMap(({ name, rows }) =>
    ENDINGS.map(
      (ending): Bar => ({ period: name, ending, rows: rows.filter((row) => row.ending === ending) }),
    ).filter(({ rows }) => rows.length > 0),
  )
  const tallest = Math.max(...periods.map(({ rows }) => rows.length))
  const labelled = Math.ceil(periods.length / Math.max(1, Math.floor(width / 90)))
  return Plot.plot({
    width,
    height: 210,
    marginBottom: 40,
    style: plotStyle,
    x: {
      label: null,
      domain: periods.map(({ name }) => name),
      tickFormat: (name: string, i: number) => (i % labelled === 0 ? name : ""),
      tickSize: 0,
    },
    y: { label: "cases", grid: true, ticks: wholeTicks(tallest), tickFormat: "d" },
    color: endingColours,
    marks: [
      Plot.barY(
        bars,
        Plot.stackY({
          order: [...ENDINGS],
          x: "period",
          y: ({ rows }: Bar) => rows.length,
          fill: "ending",
          insetLeft: 1,
          insetRight: 1,
          title: ({ period, ending, rows }: Bar) =>
            `${period}\n${countOf(rows.length, "case")} ${endingLabel[ending]}`,
          tip: true,
        }),
      ),
      Plot.ruleY([0]),
    ],
  })
}
