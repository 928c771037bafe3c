import type { Report } from "../../compiler/cases/report/report.ts"
import { goToNode } from "../actions/navigate.ts"
import { CodeText } from "../ui/code-text.tsx"
import { percent } from "../ui/figures.ts"

const MOST = 8

/** Tests that no case needed and branches that none took: what the cases say nothing about. */
export function NeverExercised({ report }: { report: Report }) {
  const { branches } = report
  const tests = report.tests.filter(({ used }) => used === 0)
  return (
    <section class="card never" aria-labelledby="idle-title">
      <h2 id="idle-title">Never exercised</h2>
      <div>
        <h3>
          {tests.length} of {report.tests.length} tests
        </h3>
        <p class="small">
          <CodeText text={tests.map(({ name }) => `\`${name}\``).join(", ")} />
        </p>
      </div>
      <div>
        <h3>
          {branches.idleInAll} of {branches.of} branches
        </h3>
        <ul class="notes">
          {branches.idle.slice(0, MOST).map(({ node, step, found, chance }) => (
            <li key={`${node}${found}`}>
              <CodeText text={`${step}, where ${found}: `} />
              <span class="quiet">expected in {percent(chance)} of jobs, </span>
              <button type="button" class="plain link" onClick={() => goToNode(node)}>
                see it in the graph
              </button>
            </li>
          ))}
        </ul>
      </div>
    </section>
  )
}
