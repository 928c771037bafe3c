import * as Plot from "@observablehq/plot"
import type { FaultCount, Report } from "../../compiler/cases/report/report.ts"
import { endingLabel } from "../../compiler/cases/report/sections.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import { showCases } from "../actions/case-filter.ts"
import { endingSign } from "./case-order.ts"
import {
  ENDINGS,
  type Ending,
  endingColours,
  leading,
  PlotFigure,
  plotStyle,
  wholeTicks,
} from "./plot-figure.tsx"

interface Bar {
  readonly fault: string
  readonly ending: Ending
  readonly cases: number
}

/** Width of a letter at the size of the plots, about. */
const LETTER = 6.3

export function ByFault({ report }: { report: Report }) {
  const faults = report.faults.filter((fault) => fault.cases > 0).sort((a, b) => b.cases - a.cases)
  if (faults.length === 0)
    return <p class="quiet">No case says what the machine turned out to have, so there is nothing to draw.</p>
  return (
    <PlotFigure
      title="How the jobs end, by fault"
      says={saidOf(faults)}
      legend
      make={(width) => leading(drawn(faults, width), show)}
    />
  )
}

function saidOf(faults: readonly FaultCount[]): string {
  const bad = faults.filter((fault) => fault.comesBack > 0)
  if (bad.length === 0) return "No job was closed with its fault still in the machine."
  return `Closed too early: ${bad.map((fault) => `${fault.label} ${fault.comesBack} of ${fault.cases}`).join(", ")}.`
}

function show({ fault, ending }: Bar): void {
  showCases(`${fault}, ${endingLabel[ending]}`, (row) => row.faults.includes(fault) && row.ending === ending)
}

function drawn(faults: readonly FaultCount[], width: number) {
  const bars = faults.flatMap((fault) =>
    ENDINGS.map((ending): Bar => ({ fault: fault.label, ending, cases: fault[ending] })).filter(
      ({ cases }) => cases > 0,
    ),
  )
  const longest = Math.max(...faults.map((fault) => fault.label.length))
  const letters = Math.min(longest, Math.floor((width * 0.5) / LETTER))
  return Plot.plot({
    width,
    height: 50 + 22 * faults.length,
    marginLeft: 14 + LETTER * letters,
    marginBottom: 40,
    style: plotStyle,
    x: { label: "cases", grid: true, ticks: wholeTicks(faults[0]?.cases ?? 0), tickFormat: "d" },
    y: {
      label: null,
      domain: faults.map((fault) => fault.label),
      tickFormat: (text: string) =>
        text.length > letters ? `${text.slice(0, letters - 1).trimEnd()}…` : text,
    },
    color: endingColours,
    marks: [
      Plot.barX(
        bars,
        Plot.stackX({
          order: [...ENDINGS],
          x: "cases",
          y: "fault",
          fill: "ending",
          insetTop: 2,
          insetBottom: 2,
          title: ({ fault, ending, cases }: Bar) =>
            `${fault}\n${countOf(cases, "case")} ${endingLabel[ending]}`,
          tip: true,
        }),
      ),
      Plot.textX(
        bars,
        Plot.stackX({
          order: [...ENDINGS],
          x: "cases",
          y: "fault",
          z: "ending",
          text: ({ ending }: Bar) => endingSign[ending],
          fill: "var(--card)",
        }),
      ),
      Plot.ruleX([0]),
    ],
  })
}
