import type { RefObject } from "preact"
import type { TestStep } from "../../compiler/run/index.ts"
import { money } from "../figures.ts"
import { kindWords } from "../graph/labels.ts"
import { AnswerForm } from "./answer.tsx"
import { Cautions } from "./cautions.tsx"
import type { Desk } from "./job-session.ts"
import { changesOf, labelOf } from "./labels.ts"

interface Props {
  readonly desk: Desk
  readonly step: TestStep
  readonly heading: RefObject<HTMLHeadingElement | null>
  /** Where the step was asked for out of turn: the way back from it. */
  readonly onTurnBack?: (() => void) | undefined
}

/** The test to do: what can hurt first, then what to do, what it leaves behind, and the answers. */
export function TestCard({ desk, step, heading, onTurnBack }: Props) {
  const { graph } = desk
  const changes = changesOf(graph, step)
  const kind = step.putBack === undefined ? step.kind : "putBack"
  const number = desk.session.value.log.length + 1
  return (
    <section class="card step" aria-labelledby="step-title">
      <p class="step-kind">
        <b>
          Step {number} · {kindWords[kind]}
        </b>
        {!onTurnBack && desk.session.value.next.by === "model" && (
          <span class="tag" title="The findings so far are on no path of the compiled graph">
            worked out from the model
          </span>
        )}
      </p>
      <Cautions cautions={step.cautions} power={step.power} />
      <h2 id="step-title" class="instruction" tabIndex={-1} ref={heading}>
        {step.putBack === undefined
          ? step.instruction
          : `Put the old part back: ${labelOf(graph, step.putBack)}`}
      </h2>
      <ul class="chips" aria-label="This step">
        {step.power && <li class={`chip ${step.power}`}>Machine {step.power}</li>}
        <li class="chip">{step.minutes} min</li>
        <li class="chip">{money(step.cost, graph.money)}</li>
        {step.needs.map((need) => (
          <li class="chip" key={need}>
            Needs {need}
          </li>
        ))}
      </ul>
      {changes.length > 0 && (
        <div class="changes">
          <h3>What this changes on the machine</h3>
          <ul>
            {changes.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </div>
      )}
      <AnswerForm
        desk={desk}
        step={step}
        onAnswer={(found, minutes) => desk.act((s) => s.find(step.putBack ?? step.name, found, minutes))}
      />
      <p class="row">
        {onTurnBack ? (
          <button type="button" onClick={onTurnBack}>
            Back to the verdict
          </button>
        ) : (
          <button type="button" onClick={() => desk.act((s) => s.cannot(step.name))}>
            Cannot do this here
          </button>
        )}
      </p>
    </section>
  )
}
