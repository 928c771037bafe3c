import * as Plot from "@observablehq/plot"
import { useEffect, useRef } from "preact/hooks"
import type { Report } from "../../compiler/cases/report/report.ts"
import { endingLabel } from "../../compiler/cases/report/sections.ts"
import type { Calibration } from "../../compiler/cases/stats/brier.ts"
import { rounded } from "../../compiler/wording/figures.ts"
import type { CaseRow } from "../workers/replay.worker.ts"
import { endingSign } from "./case-order.ts"

const ENDINGS = ["fixed", "comesBack", "handedOver", "open"] as const

/** Each plot has its figures in words beside it, for those who can't see it. */
export function Plots({ report, rows }: { report: Report; rows: readonly CaseRow[] }) {
  return (
    <div class="plots">
      <ByFault report={report} />
      <MinutesSaved rows={rows} />
      <ReliabilityPlot
        title="Was something wrong where it was repaired?"
        calibration={report.calibration.repairs}
      />
      <ReliabilityPlot
        title="Was the machine whole when it was closed?"
        calibration={report.calibration.closings}
      />
    </div>
  )
}

interface FigureProps {
  readonly title: string
  /** The figures in words. */
  readonly says: string
  readonly legend?: boolean
  readonly make: (width: number) => Element
}

function Figure({ title, says, legend = false, make }: FigureProps) {
  const box = useRef<HTMLDivElement>(null)
  useEffect(() => {
    const element = box.current!
    let width = 0
    const draw = () => {
      if (element.clientWidth === width || element.clientWidth === 0) return
      width = element.clientWidth
      const svg = make(width)
      svg.setAttribute("aria-hidden", "true")
      element.replaceChildren(svg)
    }
    const watch = new ResizeObserver(draw)
    watch.observe(element)
    return () => watch.disconnect()
  }, [make])
  return (
    <figure class="card plot">
      <figcaption>
        <h3>{title}</h3>
        <p class="small quiet">{says}</p>
        {legend && <Legend />}
      </figcaption>
      <div ref={box} />
    </figure>
  )
}

const colours = {
  fixed: "var(--good)",
  comesBack: "var(--bad)",
  handedOver: "var(--warn)",
  open: "var(--edge)",
} as const

function Legend() {
  return (
    <ul class="legend small">
      {ENDINGS.map((ending) => (
        <li key={ending}>
          <span class="swatch" style={{ background: colours[ending] }} aria-hidden="true">
            {endingSign[ending]}
          </span>{" "}
          {endingLabel[ending]}
        </li>
      ))}
    </ul>
  )
}

/** How many ticks a scale of whole numbers takes at most, so that none stands at a half. */
function wholeTicks(most: number): number {
  return Math.max(1, Math.min(5, most))
}

/** Width of a letter at the size of the plots, about. */
const LETTER = 6.3
const style = { background: "none", fontFamily: "inherit", fontSize: "12px" }

function ByFault({ report }: { report: Report }) {
  const faults = report.faults.filter((fault) => fault.cases > 0).sort((a, b) => b.cases - a.cases)
  const bars = faults.flatMap((fault) =>
    ENDINGS.map((ending) => ({ fault: fault.label, ending, cases: fault[ending] })),
  )
  const bad = faults.filter((fault) => fault.comesBack > 0)
  if (faults.length === 0)
    return <p class="quiet">No case says what the machine turned out to have, so there is nothing to draw.</p>
  return (
    <Figure
      title="How the jobs end, by fault"
      says={
        bad.length === 0
          ? "No job was closed with its fault still in the machine."
          : `Closed too early: ${bad.map((fault) => `${fault.label} ${fault.comesBack} of ${fault.cases}`).join(", ")}.`
      }
      legend
      make={(width) => {
        const longest = Math.max(...faults.map((fault) => fault.label.length))
        const letters = Math.min(longest, Math.floor((width * 0.5) / LETTER))
        return Plot.plot({
          width,
          height: 50 + 22 * faults.length,
          marginLeft: 14 + LETTER * letters,
          marginBottom: 40,
          style,
          x: { label: "cases", grid: true, ticks: wholeTicks(faults[0]?.cases ?? 0), tickFormat: "d" },
          y: {
            label: null,
            domain: faults.map((fault) => fault.label),
            tickFormat: (text: string) =>
              text.length > letters ? `${text.slice(0, letters - 1).trimEnd()}…` : text,
          },
          color: {
            domain: [...ENDINGS],
            range: ENDINGS.map((ending) => colours[ending]),
            legend: false,
          },
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
              }),
            ),
            Plot.textX(
              bars,
              Plot.stackX({
                order: [...ENDINGS],
                x: "cases",
                y: "fault",
                z: "ending",
                text: (bar: (typeof bars)[number]) => (bar.cases > 0 ? endingSign[bar.ending] : ""),
                fill: "var(--card)",
              }),
            ),
            Plot.ruleX([0]),
          ],
        })
      }}
    />
  )
}

function MinutesSaved({ rows }: { rows: readonly CaseRow[] }) {
  const saved = rows.filter((row) => row.ending === "fixed").map((row) => row.recorded - row.minutes)
  const mean = saved.reduce((sum, value) => sum + value, 0) / saved.length
  if (saved.length === 0) return null
  return (
    <Figure
      title="Minutes saved a job"
      says={`On average ${mean.toFixed(1)} minutes over ${saved.length} cases that end fixed. Left of the line, the graph took longer.`}
      make={(width) =>
        Plot.plot({
          width,
          height: 210,
          marginBottom: 40,
          style,
          x: { label: "minutes saved against the record", tickFormat: (n: number) => `${rounded(n)}` },
          y: { label: "cases", grid: true, tickFormat: (n: number) => (Number.isInteger(n) ? `${n}` : "") },
          marks: [
            Plot.rectY(saved, {
              ...Plot.binX({ y: "count" }, { x: { value: (d: number) => d, thresholds: 16 } }),
              fill: "var(--accent)",
              inset: 0.5,
            }),
            Plot.ruleX([0], { stroke: "var(--ink)", strokeWidth: 2 }),
            Plot.ruleX([mean], { stroke: "var(--warn)", strokeDasharray: "4 3", strokeWidth: 2 }),
            Plot.ruleY([0]),
          ],
        })
      }
    />
  )
}

interface ReliabilityProps {
  readonly title: string
  readonly calibration: Calibration | undefined
}

/** The chances that the plan gave, against how often they came true. */
function ReliabilityPlot({ title, calibration }: ReliabilityProps) {
  if (!calibration || calibration.bins.length === 0) return null
  const { bins } = calibration
  const points = bins.map((bin) => ({
    said: bin.said,
    held: bin.held.share,
    low: bin.held.low,
    high: bin.held.high,
    of: bin.held.of,
  }))
  return (
    <Figure
      title={title}
      says={points
        .map(
          (point) =>
            `Said ${(100 * point.said).toFixed(0)} %: held ${(100 * point.held).toFixed(0)} % of ${point.of}.`,
        )
        .join(" ")}
      make={(width) =>
        Plot.plot({
          width,
          height: 250,
          marginBottom: 40,
          style,
          x: { label: "chance that was said, %", domain: [0, 100], percent: true, grid: true },
          y: { label: "share that held, %", domain: [0, 100], percent: true, grid: true },
          marks: [
            Plot.line(
              [
                [0, 0],
                [1, 1],
              ],
              { stroke: "var(--edge)", strokeDasharray: "4 4" },
            ),
            Plot.ruleX(points, { x: "said", y1: "low", y2: "high", stroke: "var(--accent)", strokeWidth: 2 }),
            Plot.dot(points, { x: "said", y: "held", r: 5, fill: "var(--accent)" }),
          ],
        })
      }
    />
  )
}
