import * as Plot from "@observablehq/plot"
import type { Calibration } from "../../compiler/cases/stats/brier.ts"
import { PlotFigure, plotStyle } from "./plot-figure.tsx"

interface Props {
  readonly title: string
  readonly calibration: Calibration | undefined
}

/** The chances that the plan gave, against how often they came true. */
export function ReliabilityPlot({ title, calibration }: Props) {
  if (!calibration || calibration.bins.length === 0) return null
  const points = calibration.bins.map(({ said, held }) => ({
    said,
    held: held.share,
    low: held.low,
    high: held.high,
    of: held.of,
  }))
  return (
    <PlotFigure
      title={title}
      says={points.map(sentence).join(" ")}
      make={(width) =>
        Plot.plot({
          width,
          height: 250,
          marginBottom: 40,
          style: plotStyle,
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
            Plot.dot(points, {
              x: "said",
              y: "held",
              r: 5,
              fill: "var(--accent)",
              title: sentence,
              tip: true,
            }),
          ],
        })
      }
    />
  )
}

interface Point {
  readonly said: number
  readonly held: number
  readonly of: number
}

const sentence = ({ said, held, of }: Point) =>
  `Said ${(100 * said).toFixed(0)} %: held ${(100 * held).toFixed(0)} % of ${of}.`
