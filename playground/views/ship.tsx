import "../style/ship.css"
import { countOf } from "../../compiler/wording/figures.ts"
import { casesState } from "../actions/case-file.ts"
import { examples, openExample } from "../actions/examples.ts"
import { saveFile, saveInPlace } from "../actions/files.ts"
import { shipAs } from "../actions/ship.ts"
import { History } from "../ship/history.tsx"
import { OtherTools } from "../ship/other-tools.tsx"
import { ShareLink } from "../ship/share-link.tsx"
import { SigningCard } from "../ship/signing-card.tsx"
import { compiled, planState, project, say, version } from "../state/state.ts"
import { whyNoGraph } from "../state/why-no-graph.ts"
import { CodeText } from "../ui/code-text.tsx"

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
  const { text, name, cases } = casesState.value
  return (
    <section class="card" aria-labelledby="downloads-title">
      <h2 id="downloads-title">Ship the graph</h2>
      {!made && (
        <p class="quiet">
          <CodeText text={whyNoGraph(planState.value)} />
        </p>
      )}
      {old && (
        <p class="warned">Planning isn't finished. Wait, or stop it in Write when the plan is good enough.</p>
      )}
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
          <button
            type="button"
            disabled={cases === 0}
            onClick={() => saveFile(name || "cases.jsonl", `${text}\n`, "application/x-ndjson")}
          >
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

function Sources() {
  const { root, files } = project.value
  const save = async (file: string) => {
    if (await saveInPlace(file, files[file] ?? "")) say(`Saved ${file}.`)
  }
  return (
    <section class="card" aria-labelledby="sources-title">
      <h2 id="sources-title">Save the text</h2>
      <ul class="ship-list">
        {Object.keys(files).map((file) => (
          <li key={file}>
            <button type="button" aria-label={`Save ${file}`} onClick={() => save(file)}>
              Save
            </button>
            <span>
              {file}
              {file === root ? ", the ruleset" : ""}
            </span>
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
      <ul class="ship-list">
        {examples.map((example) => (
          <li key={example.name}>
            <button
              type="button"
              aria-label={`Open the example ${example.title}`}
              onClick={() => openExample(example)}
            >
              Open
            </button>
            <span>
              {example.title}
              {example.hasCases ? ", with cases" : ""}
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}
