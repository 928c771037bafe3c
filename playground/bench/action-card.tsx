import { useSignal } from "@preact/signals"
import type { RefObject } from "preact"
import type { ActionStep } from "../../compiler/run/index.ts"
import { picturesOf } from "../../compiler/ship/pictures.ts"
import { actionVerb } from "../../compiler/wording/actions.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import { capitalized } from "../../compiler/wording/sentence.ts"
import type { Words } from "../../compiler/wording/words.ts"
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
  const { graph, words } = job
  const { next, log } = job.session.value
  const { act, info } = step
  const asksWhy = useSignal(false)
  const pictures = picturesOf(graph, step)
  return (
    <section class={`card step ${step.do}`} aria-labelledby="step-title">
      <p class="step-kind">
        <b>
          {words.say(m.stepOfKind, { n: log.length + 1, kind: actionVerb(kindOfAct(graph, act), words) })}
        </b>
        {onTurnBack ? (
          <span class="tag">{words.say(m.choiceNotPlan)}</span>
        ) : (
          next.by === "model" && (
            <span class="tag" title={words.say(m.fromModelWhy)}>
              {words.say(m.fromModel)}
            </span>
          )
        )}
      </p>
      <Cautions
        words={words}
        cautions={step.cautions}
        pictures={pictures}
        power={info?.power}
        isRepair={isRepair(step)}
      />
      {log.length === 0 && <LocalCodes words={words} />}
      <h2 id="step-title" class="instruction" tabIndex={-1} ref={heading}>
        {actTitle(graph, act, words)}
      </h2>
      <Pictures words={words} of={pictures.filter(({ caution }) => caution === undefined)} />
      <Chips job={job} step={step} />
      <Effects words={words} lines={effectsOf(step, words)} />
      <Cures words={words} step={step} />
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
            {words.say(m.backToPlanned)}
          </button>
        )}
        {step.do !== "close" && !asksWhy.value && (
          <button
            type="button"
            onClick={() => {
              asksWhy.value = true
            }}
          >
            {words.say(m.cannotHere)}
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
function Chips({ job: { graph, words }, step }: { job: OpenJob; step: ActionStep }) {
  const { info, place } = step
  const isBought = step.do === "keep" || step.do === "replace"
  return (
    <ul class="chips" aria-label={words.say(m.thisStep)}>
      {info?.power && (
        <li class={`chip ${info.power}`}>
          {words.say(m.machinePower, { power: info.power === "on" ? "on" : "other" })}
        </li>
      )}
      <li class="chip">{words.minutes(step.minutes)}</li>
      {step.waits > 0 && <li class="chip">{words.say(m.waitsTime, { time: words.duration(step.waits) })}</li>}
      <li class="chip">{words.money(step.cost + step.lookCost, graph.money)}</li>
      {isBought && place?.price !== undefined && (
        <li class="chip">{words.say(m.partPrice, { price: words.money(place.price, graph.money) })}</li>
      )}
      {step.needs.map((need) => (
        <li class="chip" key={need}>
          {words.say(m.needsTool, { tool: need })}
        </li>
      ))}
    </ul>
  )
}

function Effects({ words, lines }: { words: Words; lines: readonly string[] }) {
  if (lines.length === 0) return null
  return (
    <div class="changes">
      <h3>{words.say(m.effectsTitle)}</h3>
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
function Cures({ words, step }: { words: Words; step: ActionStep }) {
  const { cures } = step
  if (cures.length === 0) return null
  // With the shop's part in, the fault isn't active; what counts is whether it was there.
  const isKept = step.do === "keep"
  return (
    <div class="cures">
      <h3>{words.say(m.mayCure)}</h3>
      <ul class="dots">
        {cures.slice(0, SHOWN).map(({ fault, info, present, active }) => (
          <li key={fault}>
            {capitalized(info?.label ?? "")}{" "}
            <span class="small quiet">{words.percent(isKept ? present : active)}</span>
            {info?.remedy && <span class="remedy"> {info.remedy}</span>}
          </li>
        ))}
      </ul>
      {cures.length > SHOWN && <p class="small quiet">{words.say(m.andMore, { n: cures.length - SHOWN })}</p>}
    </div>
  )
}
