import { useSignal } from "@preact/signals"
import type { Report } from "../../compiler/cases/report/report.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import type { RuleIndex } from "../../compiler/run/indexes.ts"
import { showCases } from "../actions/case-filter.ts"
import { countText } from "../actions/line-uses.ts"
import { isStep, nodeOf } from "../graph/labels.ts"
import { CodeText } from "../ui/code-text.tsx"
import type { CaseRow } from "../workers/replay.worker.ts"
import { LineLink } from "./line-link.tsx"

const MOST = 12

/** Every rule with the number of cases in which it ruled something out, those without any first; a way to its line. */
export function RuleUses({ report, graph }: { report: Report; graph: Graph }) {
  const all = useSignal(false)
  const rules = report.rules.toSorted((a, b) => a.used - b.used || a.rule - b.rule)
  const idle = rules.filter(({ used }) => used === 0).length
  return (
    <section class="card" aria-labelledby="rule-uses-title">
      <h2 id="rule-uses-title">Rules by use</h2>
      <p class="small quiet">
        {rules.length === 0
          ? "The ruleset has no rules."
          : `${idle} of ${rules.length} ruled nothing out in any case.`}
      </p>
      <ul class="rule-uses">
        {rules.slice(0, all.value ? rules.length : MOST).map(({ rule, line, used, because, name }) => (
          <li key={rule}>
            {used === 0 ? (
              <span class="use-count none">{countText(used)}</span>
            ) : (
              <button
                type="button"
                class="plain link use-count"
                onClick={() => showCases(`rule in line ${line}`, actsIn(graph, rule))}
              >
                {countText(used)}
              </button>
            )}
            <span>
              <LineLink rule={rule} line={line} /> <CodeText text={because ?? (name ? `\`${name}\`` : "")} />
            </span>
          </li>
        ))}
      </ul>
      {rules.length > MOST && !all.value && (
        <button
          type="button"
          onClick={() => {
            all.value = true
          }}
        >
          Show all {rules.length}
        </button>
      )}
    </section>
  )
}

/** Whether a rule acts on the way of a case. */
function actsIn(graph: Graph, rule: RuleIndex): (row: CaseRow) => boolean {
  return ({ way }) =>
    way.some(({ node, edge }) => {
      const at = nodeOf(graph, node)
      return isStep(at) && at.edges[edge]?.because.includes(rule)
    })
}
