import type { ComponentChildren } from "preact"
import type { Report } from "../../compiler/cases/report/report.ts"
import { headline, remarks } from "../../compiler/cases/report/sections.ts"
import type { Calibration } from "../../compiler/cases/stats/brier.ts"
import type { Paired } from "../../compiler/cases/stats/paired-means.ts"
import type { Share } from "../../compiler/cases/stats/wilson.ts"
import { countOf, rounded, signed } from "../../compiler/wording/figures.ts"
import { minutes as minutesText, money, percent } from "../figures.ts"

/** The figures that decide, each share with its 95 % interval. */
export function Summary({ report }: { report: Report }) {
  const { endings, inVain, minutes, total, calibration, money: currency } = report
  const amount = (value: number) => money(value < 100 ? value : Math.round(value), currency)
  return (
    <section class="card" aria-labelledby="summary-title">
      <h2 id="summary-title">{headline(report)}</h2>
      <dl class="figures">
        <Figure name="Fixed and closed" share={endings.fixed} tone="good" />
        <Figure
          name="Closed, comes back"
          share={endings.comesBack}
          tone={endings.comesBack.count > 0 ? "bad" : ""}
        />
        <Figure name="Handed over" share={endings.handedOver} tone="">
          {endings.handedOver.count > 0 && `${endings.rightly.count} rightly: not listed`}
        </Figure>
        <Figure name="Bought a part in vain" share={inVain.cases} tone={inVain.parts > 0 ? "bad" : ""}>
          {inVain.parts > 0 &&
            `${amount(inVain.money)}, ${inVain.parts} of ${countOf(inVain.bought, "part")}`}
        </Figure>
        <Figure name="Open: not in the record" share={endings.open} tone="" />
        {minutes && <PairedFigure name="Work on a job that ends fixed" paired={minutes} text={minutesText} />}
        {total && <PairedFigure name="Cost of a job, comebacks included" paired={total} text={amount} />}
        <Score name="Brier score of repairs" calibration={calibration.repairs} />
        <Score name="Brier score of closings" calibration={calibration.closings} />
      </dl>
      {remarks(report).map((text) => (
        <p key={text} class="small quiet">
          {text}
        </p>
      ))}
    </section>
  )
}

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
  readonly children?: ComponentChildren
}

function Figure({ name, share, tone, children }: FigureProps) {
  return (
    <div>
      <dt>{name}</dt>
      <dd class={tone}>{share.of === 0 ? "none" : percent(share.share)}</dd>
      <dd class="small quiet">
        {share.count} of {share.of}
        {share.of > 0 ? `, ${percent(share.low)} to ${percent(share.high)}` : ""}
        {children && <span class="figure-note">{children}</span>}
      </dd>
    </div>
  )
}
