import type { Report } from "../../compiler/cases/report/report.ts"
import type { CaseRow } from "../workers/replay.worker.ts"
import { ByFault } from "./plot-by-fault.tsx"
import { MinutesSaved } from "./plot-minutes.tsx"
import { ReliabilityPlot } from "./plot-reliability.tsx"
import { Trend } from "./plot-trend.tsx"

/** Each plot has its figures in words beside it, for those who can't see it; its bars lead to the cases behind them. */
export function Plots({ report, rows }: { report: Report; rows: readonly CaseRow[] }) {
  return (
    <div class="plots">
      <ByFault report={report} />
      <Trend rows={rows} />
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
