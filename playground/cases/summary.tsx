import type { Report } from "../../compiler/cases/report/report.ts"
import type { Share } from "../../compiler/cases/stats/wilson.ts"
import { countOf, signed } from "../../compiler/wording/figures.ts"
import { percent } from "../figures.ts"

/** The figures that decide, each share with its 95 % interval. */
export function Summary({ report }: { report: Report }) {
  const { verdicts, minutes, total, calibration } = report
  return (
    <section class="card" aria-labelledby="summary-title">
      <h2 id="summary-title">
        {countOf(report.cases, "case")} on {report.ruleset.name} {report.ruleset.version}
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
      {asides(report).map((text) => (
        <p key={text} class="small quiet">
          {text}
        </p>
      ))}
    </section>
  )
}

/** What has to be known to read the figures right. */
function asides({ cameBack, unconfirmed, unlisted, inferred, advised }: Report): string[] {
  const of = (count: number, text: string) => (count > 0 ? [`${countOf(count, "case")} ${text}`] : [])
  const apart = [
    ...of(cameBack, "came back"),
    ...of(unconfirmed, "without a confirmed fault"),
    ...of(unlisted, "with a fault that the ruleset does not list"),
    ...of(advised, "went on beyond the graph, worked out from the model"),
  ]
  const surely =
    inferred.steps > 0
      ? [
          `${countOf(inferred.steps, "step")} in ${countOf(inferred.cases, "case")} ${inferred.steps === 1 ? "is not in the record, but follows" : "are not in the record, but follow"} surely from the confirmed fault.`,
        ]
      : []
  return [...(apart.length > 0 ? [`${apart.join("; ")}.`] : []), ...surely]
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
