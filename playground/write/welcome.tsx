import { loadCases } from "../actions/cases.ts"
import { openInstead, openProject } from "../actions/text.ts"
import { type Example, examples, fetchExample } from "../examples.ts"
import { project, say } from "../state.ts"
import { skeleton } from "./skeleton.ts"

/** Opens one of the shipped rulesets, with its cases. */
export async function openExample(example: Example): Promise<void> {
  try {
    const { project, cases } = await fetchExample(example)
    openInstead(project, `Opened the example “${example.title}”.`)
    if (cases !== undefined) loadCases([{ name: `${example.name}.cases.jsonl`, text: cases }])
  } catch {
    say("The example could not be fetched. Check the connection and try again.", { bad: true })
  }
}

/** An empty page is no way to begin: three ways in. */
export function Welcome({ onStart }: { onStart: () => void }) {
  return (
    <div class="page welcome">
      <h2>What can be wrong with the machine, and what does each finding rule out?</h2>
      <p>
        Write that down here. The text is checked as you type, turned into the cheapest way to find the fault,
        and can be walked at the bench. Nothing leaves this browser.
      </p>
      <div class="ways">
        <section class="card">
          <h3>From nothing</h3>
          <p>An empty file. Ctrl+Space shows at any place what may come there.</p>
          <button type="button" onClick={onStart}>
            Start empty
          </button>
        </section>
        <section class="card">
          <h3>From a small one</h3>
          <p>Two parts, two setups, four tests: small enough to see what each line does.</p>
          <button
            type="button"
            class="main"
            onClick={() => {
              openProject({ root: project.value.root, files: { [project.value.root]: skeleton } })
            }}
          >
            Start with a skeleton
          </button>
        </section>
        <section class="card">
          <h3>From an example</h3>
          <p>Worked out for a whole machine, all but the last with recorded cases.</p>
          <ul class="example-list">
            {examples.map((example) => (
              <li key={example.name}>
                <button type="button" class="plain link" onClick={() => openExample(example)}>
                  {example.title}
                </button>
              </li>
            ))}
          </ul>
        </section>
      </div>
    </div>
  )
}
