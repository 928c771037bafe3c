import { useEffect } from "preact/hooks"
import { countOf } from "../../compiler/wording/figures.ts"
import { openAtBench, playScenarios, scenariosState } from "../actions/scenarios.ts"
import type { Compiled } from "../state/plan-state.ts"
import { compiled, version } from "../state/state.ts"
import { CodeText } from "../ui/code-text.tsx"
import { SourceLink } from "../ui/source-link.tsx"
import type { PlayedScenario } from "../workers/scenarios.worker.ts"

/** The scenarios of the text, played on its plan: what isn't as expected, and the way to each at the bench. */
export function Scenarios() {
  const state = scenariosState.value
  useEffect(playScenarios, [])
  return (
    <section class="scenarios" aria-labelledby="scenarios-head">
      <h2 id="scenarios-head" class="unseen">
        Scenarios
      </h2>
      <p class="quiet" role="status">
        {statusText()}
      </p>
      {state.kind === "done" && (
        <ol>
          {state.played.map((each, i) => (
            <Played key={each.span.file + each.span.start} of={state.of} scenario={each} number={i + 1} />
          ))}
        </ol>
      )}
    </section>
  )
}

function statusText(): string {
  const state = scenariosState.value
  if (state.kind === "playing") return "Playing…"
  if (state.kind === "failed") return "The scenarios couldn't be played on this plan."
  if (state.kind === "none") return compiled.value ? "" : "Played as soon as there is a plan."
  const failed = state.played.filter(({ failures }) => failures.length > 0).length
  const result = failed === 0 ? "All as expected." : `${countOf(failed, "scenario")} not as expected.`
  return state.of.version === version.value ? result : `${result} Of the text before your last changes.`
}

interface PlayedProps {
  readonly of: Compiled
  readonly scenario: PlayedScenario
  readonly number: number
}

function Played({ of, scenario, number }: PlayedProps) {
  const { text, span, failures } = scenario
  const isGood = failures.length === 0
  return (
    <li class={isGood ? "scenario" : "scenario failed"}>
      <p>
        <b class="verdict">
          {isGood ? "✓" : "✗"} <span class="unseen">{isGood ? "as expected: " : "not as expected: "}</span>
        </b>
        {text}
      </p>
      {failures.map((failure) => (
        <p key={failure.message + failure.span.start} class="small">
          <SourceLink span={failure.span} /> <CodeText text={failure.message} />
        </p>
      ))}
      <p class="row small">
        <SourceLink span={span} />
        <button type="button" class="plain link" onClick={() => openAtBench(of, scenario, number)}>
          Open at the bench
        </button>
      </p>
    </li>
  )
}
