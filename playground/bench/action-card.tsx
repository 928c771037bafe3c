import { useSignal } from "@preact/signals"
import type { RefObject } from "preact"
import type { ActionStep } from "../../compiler/run/index.ts"
import { picturesOf } from "../../compiler/ship/pictures.ts"
import { actionVerb } from "../../compiler/wording/actions.ts"
import { capitalized } from "../../compiler/wording/sentence.ts"
import { duration, minutes, money, percent } from "../ui/figures.ts"
import { AnswerForm } from "./answer.tsx"
import { CannotForm } from "./cannot.tsx"
import { Cautions, LocalCodes } from "./cautions.tsx"
import { actTitle, effectsOf, kindOfAct } from "./labels.ts"
import type { OpenJob } from "./open-job.ts"
import { Pictures } from "./pictures.tsx"
import { ProofRun } from "./proof-run.tsx"

interface Props {
  readonly job: OpenJob
  readonly step: ActionStep
  readonly heading: RefObject<HTMLHeadingElement | null>
  /** Where somebody chose the action instead of the planned one: the way back to that. */
  readonly onTurnBack?: (() => void) | undefined
}

/** The action to do: what can hurt first, then what to do, what it does to the machine, and the answers. */
export function ActionCard({ job, step, heading, onTurnBack }: Props) {
  const { graph } = job
  const { next, log } = job.session.value
  const { act, info } = step
  const asksWhy = useSignal(false)
  const pictures = picturesOf(graph, step)
  return (
    <section class={`card step ${step.do}`} aria-labelledby="step-title">
      <p class="step-kind">
        <b>
          Step {log.length + 1} · {actionVerb(kindOfAct(graph, act))}
        </b>
        {onTurnBack ? (
          <span class="tag">your choice, not the plan's</span>
        ) : (
          next.by === "model" && (
            <span class="tag" title="The findings so far are on no path of the compiled graph">
              worked out from the model
            </span>
          )
        )}
      </p>
      <Cautions cautions={step.cautions} pictures={pictures} power={info?.power} isRepair={isRepair(step)} />
      {log.length === 0 && <LocalCodes />}
      <h2 id="step-title" class="instruction" tabIndex={-1} ref={heading}>
        {actTitle(graph, act)}
      </h2>
      <Pictures of={pictures.filter(({ caution }) => caution === undefined)} />
      <Chips job={job} step={step} />
      <Effects lines={effectsOf(step)} />
      <Cures step={step} />
      {step.do === "close" ? (
        <ProofRun job={job} step={step} />
      ) : (
        <AnswerForm
          job={job}
          step={step}
          onAnswer={(found, beside) => job.change((session) => session.find(act, found, beside))}
        />
      )}
      <p class="row">
        {onTurnBack && (
          <button type="button" onClick={onTurnBack}>
            Back to the planned step
          </button>
        )}
        {step.do !== "close" && !asksWhy.value && (
          <button
            type="button"
            onClick={() => {
              asksWhy.value = true
            }}
          >
            Can't do this here
          </button>
        )}
      </p>
      {asksWhy.value && (
        <CannotForm
          job={job}
          act={act}
          onBack={() => {
            asksWhy.value = false
          }}
        />
      )}
    </section>
  )
}

const isRepair = ({ do: kind }: ActionStep) => kind === "replace" || kind === "fix" || kind === "putBack"

/** What it takes. */
function Chips({ job: { graph }, step }: { job: OpenJob; step: ActionStep }) {
  const { info, place } = step
  const isBought = step.do === "keep" || step.do === "replace"
  return (
    <ul class="chips" aria-label="This step">
      {info?.power && <li class={`chip ${info.power}`}>Machine {info.power}</li>}
      <li class="chip">{minutes(step.minutes)}</li>
      {step.waits > 0 && <li class="chip">Waits {duration(step.waits)}</li>}
      <li class="chip">{money(step.cost + step.lookCost, graph.money)}</li>
      {isBought && place?.price !== undefined && (
        <li class="chip">Part {money(place.price, graph.money)} of it</li>
      )}
      {step.needs.map((need) => (
        <li class="chip" key={need}>
          Needs {need}
        </li>
      ))}
    </ul>
  )
}

function Effects({ lines }: { lines: readonly string[] }) {
  if (lines.length === 0) return null
  return (
    <div class="changes">
      <h3>What this does to the machine</h3>
      <ul>
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </div>
  )
}

const SHOWN = 5

/** The faults that the action may cure, each with what its author says about the repair. */
function Cures({ step }: { step: ActionStep }) {
  const { cures } = step
  if (cures.length === 0) return null
  // With the shop's part in, the fault isn't active; what counts is whether it was there.
  const isKept = step.do === "keep"
  return (
    <div class="cures">
      <h3>May cure</h3>
      <ul class="dots">
        {cures.slice(0, SHOWN).map(({ fault, info, present, active }) => (
          <li key={fault}>
            {capitalized(info?.label ?? "")}{" "}
            <span class="small quiet">{percent(isKept ? present : active)}</span>
            {info?.remedy && <span class="remedy"> {info.remedy}</span>}
          </li>
        ))}
      </ul>
      {cures.length > SHOWN && <p class="small quiet">and {cures.length - SHOWN} more</p>}
    </div>
  )
}
