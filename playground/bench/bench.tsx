import "../style/bench.css"
import { useEffect, useRef } from "preact/hooks"
import type { Desk } from "./desk.ts"
import { Findings } from "./findings.tsx"
import { OtherFinding } from "./other.tsx"
import { StandingCard } from "./standing.tsx"
import { TestCard } from "./step.tsx"
import { Suspects } from "./suspects.tsx"
import { HandoverCard, VerdictCard } from "./verdict.tsx"

/**
 * The bench: what to do next on the left, what is known on the right; on a phone one below the other. The same view
 * stands in the playground and in the page that ships on its own.
 */
export function BenchDesk({ desk }: { desk: Desk }) {
  const session = desk.session.value
  const step = session.next
  const heading = useRef<HTMLHeadingElement>(null)
  const done = session.log.length
  const before = useRef(done)
  useEffect(() => {
    if (before.current === done) return
    before.current = done
    heading.current?.focus()
    heading.current?.scrollIntoView({ block: "nearest" })
  }, [done])
  return (
    <div class="bench">
      <div class="bench-now">
        <p class="complaint">
          <span class="small quiet">Complaint</span> {desk.graph.complaint.text}
        </p>
        {desk.lost.length > 0 && (
          <p class="card warned" role="status">
            The ruleset has changed since this job began. These findings no longer have a place in it and were
            left out: {desk.lost.join(", ")}.
          </p>
        )}
        {step.do === "test" && <TestCard key={done} desk={desk} step={step} heading={heading} />}
        {step.do === "verdict" && <VerdictCard key={done} desk={desk} step={step} heading={heading} />}
        {step.do === "handover" && <HandoverCard key={done} desk={desk} step={step} heading={heading} />}
        <OtherFinding desk={desk} />
      </div>
      <div class="bench-known">
        <Suspects desk={desk} />
        <StandingCard desk={desk} />
        <Findings desk={desk} />
      </div>
    </div>
  )
}
