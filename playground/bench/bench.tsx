import "../style/bench.css"
import { useSignal } from "@preact/signals"
import { useEffect, useRef } from "preact/hooks"
import type { Session, TestStep } from "../../compiler/run/index.ts"
import { Findings } from "./findings.tsx"
import type { Desk } from "./job-session.ts"
import { OtherFinding } from "./other-finding.tsx"
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
  const { next } = session
  /** A put-back that was asked for at a verdict; any finding makes a new session and ends it. */
  const asked = useSignal<{ readonly session: Session; readonly step: TestStep } | undefined>(undefined)
  const back = asked.value?.session === session ? asked.value.step : undefined
  const step = back ?? next
  const heading = useRef<HTMLHeadingElement>(null)
  const at = `${session.log.length} ${back?.putBack ?? ""}`
  const before = useRef(at)
  useEffect(() => {
    if (before.current === at) return
    before.current = at
    heading.current?.focus()
    heading.current?.scrollIntoView({ block: "nearest" })
  }, [at])
  const ask = (step?: TestStep) => {
    asked.value = step && { session, step }
  }
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
        {step.do === "test" && (
          <TestCard key={at} desk={desk} step={step} heading={heading} onTurnBack={back && (() => ask())} />
        )}
        {step.do === "verdict" && (
          <VerdictCard key={at} desk={desk} step={step} heading={heading} onPutBack={ask} />
        )}
        {step.do === "handover" && <HandoverCard key={at} desk={desk} step={step} heading={heading} />}
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
