import { useSignal } from "@preact/signals"
import { countOf } from "../../compiler/wording/figures.ts"
import { casesState } from "../actions/case-file.ts"
import { fitState, fitWeight, isFresh, runFit, stopFit } from "../actions/fit.ts"
import { counts } from "../state/state.ts"
import { FitChanges } from "./fit-changes.tsx"
import { Contradicted, Helps } from "./fit-validation.tsx"

/** The ruleset's numbers estimated from the cases: what would change, and whether that helps. */
export function FitCard() {
  const state = fitState.value
  const done = state.kind === "done" ? state.fit : undefined
  const broken = counts.value.error > 0
  return (
    <section class="card fit" aria-labelledby="fit-title">
      <h2 id="fit-title">Fit to these cases</h2>
      <p class="small quiet">
        Odds and percentages estimated from the cases, drawn towards those in the text. What the text says is
        always or never so stays as it is. Nothing changes until you say so.
      </p>
      <div class="row">
        <Weight />
        {state.kind === "running" ? (
          <>
            <button type="button" onClick={stopFit}>
              Stop
            </button>
            <span role="status">Fitting to {countOf(casesState.value.cases, "case")}…</span>
          </>
        ) : (
          <button type="button" disabled={broken} onClick={runFit}>
            {done ? "Fit again" : "Fit"}
          </button>
        )}
        {broken && <span class="quiet">Fix the errors in the text first.</span>}
      </div>
      {state.kind === "failed" && (
        <p class="warned" role="alert">
          The numbers couldn't be fitted to these cases.
        </p>
      )}
      {done && !isFresh.value && (
        <p class="small quiet">The text or the cases have changed since the last fit.</p>
      )}
      {done && isFresh.value && (
        <>
          <Helps fit={done} />
          <FitChanges fit={done} />
          <Contradicted fit={done} report={casesState.value.report} />
        </>
      )}
    </section>
  )
}

/** A fit that is shown or under way is repeated when the weight changes. */
function Weight() {
  const typed = useSignal(String(fitWeight.value))
  const bad = useSignal(false)
  const take = () => {
    const weight = Number(typed.value.replace(",", "."))
    bad.value = !(Number.isFinite(weight) && weight > 0)
    if (bad.value || weight === fitWeight.value) return
    fitWeight.value = weight
    if (fitState.value.kind === "done" || fitState.value.kind === "running") void runFit()
  }
  return (
    <>
      <label class="fit-weight">
        The author's numbers count as
        <input
          type="text"
          inputMode="decimal"
          value={typed.value}
          aria-invalid={bad.value}
          onInput={(event) => {
            typed.value = event.currentTarget.value
          }}
          onChange={take}
        />
        cases
      </label>
      {bad.value && (
        <span class="fit-few" role="alert">
          Enter a number above 0.
        </span>
      )}
    </>
  )
}
