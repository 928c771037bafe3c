import type { RepairCount, Report } from "../../compiler/cases/report/report.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import type { Act } from "../../compiler/run/index.ts"
import { at } from "../../compiler/run/lookup.ts"
import { showCases } from "../actions/case-filter.ts"
import { actTitle } from "../bench/labels.ts"
import { percent } from "../ui/figures.ts"
import type { CaseRow } from "../workers/replay.worker.ts"

/** Every repair that the cases came to, and how often nothing confirmed was there. */
export function RepairUses({ report, graph }: { report: Report; graph: Graph }) {
  const used = report.repairs.filter((each) => each.used > 0).sort((a, b) => b.used - a.used)
  if (used.length === 0) return null
  return (
    <section class="card" aria-labelledby="repair-uses-title">
      <h2 id="repair-uses-title">Repairs</h2>
      <table>
        <thead>
          <tr>
            <th scope="col">Repair</th>
            <th scope="col" class="number">
              Times
            </th>
            <th scope="col" class="number">
              In vain
            </th>
          </tr>
        </thead>
        <tbody>
          {used.map((each) => (
            <tr key={`${each.do}${each.name}`}>
              <td>{actTitle(graph, actOf(each))}</td>
              <td class="number">
                <button
                  type="button"
                  class="plain link"
                  onClick={() => showCases(actTitle(graph, actOf(each)), comesTo(graph, each))}
                >
                  {each.used}
                </button>
              </td>
              <td class="number">{each.inVain > 0 ? percent(each.inVain / each.used) : "never"}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

/** Whether a case comes to a repair. */
function comesTo(graph: Graph, { do: kind, name }: RepairCount): (row: CaseRow) => boolean {
  return ({ repairs }) =>
    repairs.some((each) => {
      const of = each.do === "fix" ? at(graph.faults, each.fault) : at(graph.places, each.part)
      return each.do === kind && of.name === name
    })
}

function actOf({ do: kind, name }: RepairCount): Act {
  switch (kind) {
    case "keep":
      return { keep: name }
    case "replace":
      return { replace: name }
    case "fix":
      return { fix: name }
  }
}
