import { useMemo } from "preact/hooks"
import type { Session, TestStep, VerdictStep } from "../../compiler/run/index.ts"
import { percent } from "../figures.ts"
import type { Desk } from "./job-session.ts"
import { labelOf } from "./labels.ts"

type Doubt = NonNullable<Session["standing"]["doubt"]>

/** What a cure may really be due to, with the chances. */
export function Explanations({ doubt }: { doubt: Doubt }) {
  return (
    <ul class="plain-list">
      {doubt.explanations.map((each) => (
        <li key={each.name}>
          <span class="number">{percent(each.chance)}</span>{" "}
          {each.kind === "part" ? "the old part was bad: " : "it was done again: "}
          {each.label}
        </li>
      ))}
      {doubt.still > 0.0005 && (
        <li>
          <span class="number">{percent(doubt.still)}</span> nothing is cured: it comes and goes
        </li>
      )}
    </ul>
  )
}

interface Props {
  readonly desk: Desk
  readonly step: VerdictStep
  readonly onPutBack: (step: TestStep) => void
}

/** A verdict that is good enough though the cure has other explanations: what is left to them, and the steps that tell. */
export function VerdictDoubt({ desk, step, onPutBack }: Props) {
  const { trust } = desk.graph
  const session = desk.session.value
  const { doubt, fitted } = session.standing
  const hasMore = doubt !== undefined && fitted.length > 0
  const back = useMemo(
    () => (hasMore ? session.steps.filter(({ putBack }) => putBack !== undefined) : []),
    [session, hasMore],
  )
  if (!doubt) return null
  return (
    <div class="warned doubt" role="alert">
      <p>
        <b>More than one explanation.</b> The verdict is good enough: {percent(step.chance)}
        {trust > 0 && `, and the ruleset asks for ${percent(trust)}`}. The chance that it is another one is{" "}
        {percent(1 - step.chance)}.
      </p>
      <Explanations doubt={doubt} />
      {back.map((each) => (
        <p key={each.putBack} class="row">
          <button type="button" onClick={() => onPutBack(each)}>
            Put the old part back to tell: {labelOf(desk.graph, each.putBack!)}
          </button>
          <span class="small quiet">{each.minutes} min</span>
        </p>
      ))}
    </div>
  )
}
