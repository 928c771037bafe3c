import { minutes, money, percent } from "../ui/figures.ts"
import type { OpenJob } from "./open-job.ts"

/** What the rest of the job is expected to take. */
export function OutlookCard({ job: { graph, session } }: { job: OpenJob }) {
  const { next, outlook } = session.value
  if (next.do === "end") return null
  return (
    <section class="card outlook" aria-labelledby="outlook-title">
      <h2 id="outlook-title">
        From here on {outlook.by === "model" && <span class="small quiet">estimate</span>}
      </h2>
      <dl class="facts four">
        <div>
          <dt>Expected cost</dt>
          <dd>{money(outlook.cost, graph.money)}</dd>
        </div>
        <div>
          <dt>For parts</dt>
          <dd>{money(outlook.parts, graph.money)}</dd>
        </div>
        <div>
          <dt>Work</dt>
          <dd>{minutes(outlook.minutes)}</dd>
        </div>
        <div>
          <dt>Handed over</dt>
          <dd>{percent(outlook.handedOver)}</dd>
        </div>
      </dl>
    </section>
  )
}
