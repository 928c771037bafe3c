import type { RepairCount, Report } from "../../compiler/cases/report/report.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import type { Act } from "../../compiler/run/index.ts"
import { actTitle } from "../bench/labels.ts"
import { percent } from "../figures.ts"

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
              <td class="number">{each.used}</td>
              <td class="number">{each.inVain > 0 ? percent(each.inVain / each.used) : "never"}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
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
