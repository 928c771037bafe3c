import "../style/ship.css"
import { countOf } from "../../compiler/wording/figures.ts"
import { casesState } from "../actions/case-file.ts"
import { saveCases, saveSource } from "../actions/save.ts"
import { shipAs } from "../actions/ship.ts"
import { History } from "../ship/history.tsx"
import { OtherTools } from "../ship/other-tools.tsx"
import { ShareLink } from "../ship/share-link.tsx"
import { SigningCard } from "../ship/signing-card.tsx"
import { compiled, planState, project, version } from "../state/state.ts"
import { whyNoGraph } from "../state/why-no-graph.ts"
import { CodeText } from "../ui/code-text.tsx"
import { ExampleList } from "../ui/example-list.tsx"
import { percent } from "../ui/figures.ts"
import { StopButton } from "../ui/stop-button.tsx"

/** Everything that leaves this page, and everything that comes back into it. */
export function Ship() {
  return (
    <div class="page ship">
      <Downloads />
      <OtherTools />
      <SigningCard />
      <ShareLink />
      <Sources />
      <History />
      <Examples />
    </div>
  )
}

function Downloads() {
  const made = compiled.value
  const old = made !== undefined && (made.version !== version.value || !made.final)
  const { cases } = casesState.value
  return (
    <section class="card" aria-labelledby="downloads-title">
      <h2 id="downloads-title">Ship the graph</h2>
      {!made && (
        <p class="quiet">
          <CodeText text={whyNoGraph(planState.value)} />
        </p>
      )}
      {old && <NotYet />}
      {made && (
        <p class="small quiet">
          {made.graph.ruleset.title}, version {made.graph.ruleset.version}, {made.graph.nodes.length} nodes.
        </p>
      )}
      <ul class="ship-list">
        <li>
          <button type="button" class="main" disabled={!made || old} onClick={() => shipAs("graph")}>
            Graph
          </button>
          <span>One JSON document with all that a shop's own tool needs to run the ruleset.</span>
        </li>
        <li>
          <button type="button" class="main" disabled={!made || old} onClick={() => shipAs("page")}>
            Page
          </button>
          <span>One HTML file with the bench in it. Works from a memory stick, without a network.</span>
        </li>
        <li>
          <button type="button" disabled={cases === 0} onClick={saveCases}>
            Cases
          </button>
          <span>
            {cases === 0 ? "No cases are recorded yet." : `${countOf(cases, "recorded case")}, one a line.`}
          </span>
        </li>
      </ul>
    </section>
  )
}

/** What is shipped is a finished plan of the text as it is. */
function NotYet() {
  const state = planState.value
  return (
    <div class="warned row">
      <p class="grow">
        {state.kind === "planning"
          ? `Planning isn't finished: ${percent(state.progress.spent)} of the effort. Wait, or take the best plan so far.`
          : `The plan is of an older text. ${state.kind === "blocked" ? "Fix the errors in Write first." : "The new one is on its way."}`}
      </p>
      {state.kind === "planning" && <StopButton />}
    </div>
  )
}

function Sources() {
  const { root, files } = project.value
  return (
    <section class="card" aria-labelledby="sources-title">
      <h2 id="sources-title">Save the text</h2>
      <ul class="link-list">
        {Object.keys(files).map((file) => (
          <li key={file}>
            <button
              type="button"
              class="plain link"
              aria-label={`Save ${file}`}
              onClick={() => saveSource(file)}
            >
              {file}
            </button>
            {file === root && <span class="small quiet"> the ruleset</span>}
          </li>
        ))}
      </ul>
    </section>
  )
}

function Examples() {
  return (
    <section class="card" aria-labelledby="examples-title">
      <h2 id="examples-title">Examples</h2>
      <ExampleList />
    </section>
  )
}
