import * as m from "../../compiler/wording/compiled/bench.ts"
import type { OpenJob } from "./open-job.ts"

/** What the rest of the job is expected to take. */
export function OutlookCard({ job: { graph, session, words } }: { job: OpenJob }) {
  const { next, outlook } = session.value
  if (next.do === "end") return null
  return (
    <section class="card outlook" aria-labelledby="outlook-title">
      <h2 id="outlook-title">
        {words.say(m.fromHereOn)}{" "}
        {outlook.by === "model" && <span class="small quiet">{words.say(m.estimate)}</span>}
      </h2>
      <dl class="facts four">
        <div>
          <dt>{words.say(m.expectedCost)}</dt>
          <dd>{words.money(outlook.cost, graph.money)}</dd>
        </div>
        <div>
          <dt>{words.say(m.forParts)}</dt>
          <dd>{words.money(outlook.parts, graph.money)}</dd>
        </div>
        <div>
          <dt>{words.say(m.work)}</dt>
          <dd>{words.minutes(outlook.minutes)}</dd>
        </div>
        <div>
          <dt>{words.say(m.handedOver)}</dt>
          <dd>{words.percent(outlook.handedOver)}</dd>
        </div>
      </dl>
    </section>
  )
}
