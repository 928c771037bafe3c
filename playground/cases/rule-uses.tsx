import { useSignal } from "@preact/signals"
import type { Report } from "../../compiler/cases/report/report.ts"
import { countText } from "../actions/line-uses.ts"
import { CodeText } from "../code-text.tsx"
import { LineLink } from "./line-link.tsx"

const MOST = 12

/** Every rule with the number of cases in which it ruled something out, those without any first; a way to its line. */
export function RuleUses({ report }: { report: Report }) {
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
            <span class={used === 0 ? "use-count none" : "use-count"}>{countText(used)}</span>
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
