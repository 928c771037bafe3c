import { useSignal } from "@preact/signals"
import type { ComponentChildren, RefObject } from "preact"
import { useEffect, useRef } from "preact/hooks"
import type { ActionStep, Session } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import * as common from "../../compiler/wording/compiled/common.ts"
import { ActionCard } from "./action-card.tsx"
import { Board } from "./board/board.tsx"
import { EndCard } from "./end-card.tsx"
import { HandoverCard } from "./handover-card.tsx"
import { Log } from "./log.tsx"
import { Notes } from "./notes.tsx"
import type { OpenJob } from "./open-job.ts"
import { OtherFinding } from "./other-finding.tsx"
import { OutlookCard } from "./outlook.tsx"
import { Suspicions } from "./suspicions.tsx"

/**
 * A job at the bench: the step at hand beside the board of the machine, on a phone above it. The playground and the page
 * that ships on its own show the same view.
 */
export function JobView({ job, more }: { job: OpenJob; more: ComponentChildren }) {
  const { words } = job
  const session = job.session.value
  /** An action chosen instead of the planned one; any finding makes a new session and ends the choice. */
  const choice = useSignal<{ readonly session: Session; readonly step: ActionStep } | undefined>(undefined)
  const chosen = choice.value?.session === session ? choice.value.step : undefined
  const at = `${session.log.length} ${JSON.stringify(chosen?.act ?? "")}`
  const heading = useFocusOnChange(at)
  return (
    <div class="bench">
      <div class="bench-left">
        <div class="bench-now">
          <p class="complaint">
            <span class="small quiet">{words.say(common.complaint)}</span> {job.graph.complaint.text}
          </p>
          {job.lost.length > 0 && (
            <p class="card warned" role="status">
              {words.say(m.rulesetChanged, { steps: job.lost.join(", ") })}
            </p>
          )}
          {job.unreadable && session.log.length === 0 && (
            <p class="card warned" role="status">
              {words.say(m.unreadableJob)}
            </p>
          )}
          <Next
            key={at}
            job={job}
            chosen={chosen}
            heading={heading}
            onTurnBack={() => {
              choice.value = undefined
            }}
          />
          <Suspicions job={job} />
          <OtherFinding
            job={job}
            onChoose={(step) => {
              choice.value = { session, step }
            }}
          />
        </div>
        <Log job={job} />
        <div class="bench-more">
          <OutlookCard job={job} />
          <Notes job={job} />
        </div>
      </div>
      <div class="bench-right">
        <Board job={job} step={chosen ?? plannedAction(session)} />
        <div class="bench-desk">{more}</div>
      </div>
    </div>
  )
}

function plannedAction({ next }: Session): ActionStep | undefined {
  return "act" in next ? next : undefined
}

interface NextProps {
  readonly job: OpenJob
  readonly chosen: ActionStep | undefined
  readonly heading: RefObject<HTMLHeadingElement | null>
  readonly onTurnBack: () => void
}

function Next({ job, chosen, heading, onTurnBack }: NextProps) {
  const { next } = job.session.value
  if (chosen) return <ActionCard job={job} step={chosen} heading={heading} onTurnBack={onTurnBack} />
  switch (next.do) {
    case "handover":
      return <HandoverCard job={job} step={next} heading={heading} />
    case "end":
      return <EndCard job={job} step={next} heading={heading} />
    default:
      return <ActionCard job={job} step={next} heading={heading} />
  }
}

/** Brings the keyboard and the eye to the next step once the last one is answered. */
function useFocusOnChange(at: string): RefObject<HTMLHeadingElement | null> {
  const heading = useRef<HTMLHeadingElement>(null)
  const before = useRef(at)
  useEffect(() => {
    if (before.current === at) return
    before.current = at
    heading.current?.focus({ preventScroll: true })
    showFromTop(heading.current?.closest(".step"))
  }, [at])
  return heading
}

/** The cautions stand above the heading: a card that isn't seen from its top, or stands low, is brought up. */
function showFromTop(card: Element | null | undefined): void {
  if (!card) return
  const edge = scrollerOf(card)?.getBoundingClientRect().top ?? 0
  const { top } = card.getBoundingClientRect()
  if (top < edge || top > edge + innerHeight / 4) card.scrollIntoView({ block: "start" })
}

/** What scrolls around an element, outside the bench's own tree too; undefined where the page does. */
function scrollerOf(element: Element): Element | undefined {
  const root = element.getRootNode()
  const around = element.parentElement ?? (root instanceof ShadowRoot ? root.host : undefined)
  if (!around || around === document.body) return undefined
  return /auto|scroll/.test(getComputedStyle(around).overflowY) ? around : scrollerOf(around)
}
