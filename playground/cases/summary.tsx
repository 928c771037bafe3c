import type { Report } from "../../compiler/cases/report.ts"
import type { Share } from "../../compiler/cases/wilson.ts"
import { percent } from "../graph/words.ts"

/** The figures that decide, each share with its 95 % interval. */
export function Summary({ report }: { report: Report }) {
  const { verdicts, minutes, total, calibration } = report
  return (
    <section class="card" aria-labelledby="summary-title">
      <h2 id="summary-title">
        {report.cases} cases on {report.ruleset.name} {report.ruleset.version}
      </h2>
      <dl class="figures">
        <Figure name="Right remedy" share={verdicts.remedy} tone="good" />
        <Figure name="Wrong remedy" share={verdicts.wrong} tone="bad" />
        <Figure name="Handed over" share={verdicts.handover} tone="" />
        <Figure name="True fault among the candidates" share={verdicts.inCandidates} tone="" />
        <Figure name="Open: not in the record" share={verdicts.open} tone="" />
        {minutes && (
          <div>
            <dt>Minutes a job</dt>
            <dd>{minutes.walked.toFixed(1)}</dd>
            <dd class="small quiet">
              {signed(minutes.difference)} against {minutes.recorded.toFixed(1)} recorded (
              {signed(minutes.low)} to {signed(minutes.high)})
            </dd>
          </div>
        )}
        {total && (
          <div>
            <dt>Cost a job, mistakes included</dt>
            <dd>
              {total.walked.toFixed(0)} {report.money}
            </dd>
            <dd class="small quiet">
              {signed(total.difference)} against {total.recorded.toFixed(0)} recorded
            </dd>
          </div>
        )}
        {calibration && (
          <div>
            <dt>Brier score</dt>
            <dd>{calibration.score.toFixed(3)}</dd>
            <dd class="small quiet">0 is best, 2 worst</dd>
          </div>
        )}
      </dl>
      {(report.unconfirmed > 0 || report.unlisted > 0 || report.cameBack > 0) && (
        <p class="small quiet">
          {report.cameBack} came back; {report.unconfirmed} without a confirmed fault; {report.unlisted} with
          a fault that the ruleset does not list.
        </p>
      )}
    </section>
  )
}

function Figure({ name, share, tone }: { name: string; share: Share; tone: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd class={tone}>{share.of === 0 ? "none" : percent(share.share)}</dd>
      <dd class="small quiet">
        {share.count} of {share.of}
        {share.of > 0 ? `, ${percent(share.low)} to ${percent(share.high)}` : ""}
      </dd>
    </div>
  )
}

const signed = (value: number) => `${value > 0 ? "+" : value < 0 ? "−" : ""}${Math.abs(value).toFixed(1)}`
