import type { ComponentChildren } from "preact"
import type { Report } from "../../compiler/cases/report/report.ts"
import { headline, remarks } from "../../compiler/cases/report/sections.ts"
import type { Calibration } from "../../compiler/cases/stats/brier.ts"
import type { Paired } from "../../compiler/cases/stats/paired-means.ts"
import type { Share } from "../../compiler/cases/stats/wilson.ts"
import { countOf, rounded, signed } from "../../compiler/wording/figures.ts"
import { showCases } from "../actions/case-filter.ts"
import { minutes as minutesText, money, percent } from "../ui/figures.ts"
import type { CaseRow } from "../workers/replay.worker.ts"

/** The figures that decide, each share with its 95 % interval. */
export function Summary({ report }: { report: Report }) {
  const { endings, inVain, minutes, total, calibration, money: currency } = report
  const amount = (value: number) => money(value < 100 ? value : Math.round(value), currency)
  return (
    <section class="card" aria-labelledby="summary-title">
      <h2 id="summary-title">{headline(report)}</h2>
      <dl class="figures">
        <Figure name="Fixed and closed" share={endings.fixed} tone="good" isBehind={endedAs("fixed")} />
        <Figure
          name="Closed, comes back"
          share={endings.comesBack}
          tone={endings.comesBack.count > 0 ? "bad" : ""}
          isBehind={endedAs("comesBack")}
        />
        <Figure name="Handed over" share={endings.handedOver} tone="" isBehind={endedAs("handedOver")}>
          {endings.handedOver.count > 0 && `${endings.rightly.count} rightly: not listed`}
        </Figure>
        <Figure
          name="Bought a part in vain"
          share={inVain.cases}
          tone={inVain.parts > 0 ? "bad" : ""}
          isBehind={(row) => row.inVain > 0 && row.ending !== "open" && row.ending !== "unconfirmed"}
        >
          {inVain.parts > 0 &&
            `${amount(inVain.money)}, ${inVain.parts} of ${countOf(inVain.bought, "part")}`}
        </Figure>
        <Figure name="Open: not in the record" share={endings.open} tone="" isBehind={endedAs("open")} />
      </dl>
      <dl class="figures lesser">
        {minutes && <PairedFigure name="Work on a job that ends fixed" paired={minutes} text={minutesText} />}
        {total && <PairedFigure name="Cost of a job, comebacks included" paired={total} text={amount} />}
        <Score name="Brier score of repairs" calibration={calibration.repairs} />
        <Score name="Brier score of closings" calibration={calibration.closings} />
      </dl>
      <ul class="small quiet remarks">
        {remarks(report).map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </section>
  )
}

const endedAs = (ending: CaseRow["ending"]) => (row: CaseRow) => row.ending === ending

interface PairedProps {
  readonly name: string
  readonly paired: Paired
  readonly text: (value: number) => string
}

/** On the graph, against what the record spent. */
function PairedFigure({ name, paired, text }: PairedProps) {
  const { cases, walked, recorded, difference, low, high } = paired
  return (
    <div>
      <dt>{name}</dt>
      <dd>{text(walked)}</dd>
      <dd class="small quiet">
        {signed(difference)} against {rounded(recorded)} recorded
        {cases > 1 && ` (${signed(low)} to ${signed(high)})`}
      </dd>
    </div>
  )
}

function Score({ name, calibration }: { name: string; calibration: Calibration | undefined }) {
  if (!calibration) return null
  return (
    <div>
      <dt>{name}</dt>
      <dd>{calibration.score.toFixed(3)}</dd>
      <dd class="small quiet">0 is best, 2 worst</dd>
    </div>
  )
}

interface FigureProps {
  readonly name: string
  readonly share: Share
  readonly tone: "good" | "bad" | ""
  /** Whether a case is one of those counted. */
  readonly isBehind: (row: CaseRow) => boolean
  readonly children?: ComponentChildren
}

/** A share leads to the cases behind it. */
function Figure({ name, share, tone, isBehind, children }: FigureProps) {
  const text = share.of === 0 ? "none" : percent(share.share)
  return (
    <div>
      <dt>{name}</dt>
      <dd class={tone}>
        {share.count === 0 ? (
          text
        ) : (
          <button
            type="button"
            class="plain link"
            title={`Show the ${countOf(share.count, "case")}`}
            onClick={() => showCases(name, isBehind)}
          >
            {text}
          </button>
        )}
      </dd>
      <dd class="small quiet">
        {share.count} of {share.of}
        {share.of > 0 ? `, ${percent(share.low)} to ${percent(share.high)}` : ""}
        {children && <span class="figure-note">{children}</span>}
      </dd>
    </div>
  )
}
