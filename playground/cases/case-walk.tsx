import { useEffect, useRef } from "preact/hooks"
import type { Graph } from "../../compiler/run/graph.ts"
import { chosenCase } from "../actions/cases.ts"
import { goToNode } from "../actions/navigate.ts"
import { percent } from "../figures.ts"
import { edgeText, kindOf, kindWords, nodeTitle } from "../graph/labels.ts"
import type { CaseRow } from "../workers/replay.worker.ts"
import { endingWords, verdictOf } from "./case-order.ts"

/** One case walked through the graph, step by step, each step a way into the picture. */
export function OneCase({ row, graph }: { row: CaseRow; graph: Graph }) {
  const end = graph.nodes[row.end]!
  const section = useRef<HTMLElement>(null)
  // On a narrow screen it stands below the table in which it was chosen.
  useEffect(() => section.current?.scrollIntoView({ block: "nearest" }), [row])
  return (
    <section ref={section} class="card one-case" aria-labelledby="one-case-title">
      <div class="row">
        <h2 id="one-case-title" class="grow">
          {row.id}, step by step
        </h2>
        <button
          type="button"
          onClick={() => {
            chosenCase.value = undefined
          }}
        >
          Back to the plots
        </button>
      </div>
      <p>
        It was <b>{row.fault || "not confirmed"}</b>; on the graph{" "}
        <b class={`ending ${row.ending}`}>{endingWords[row.ending]}</b>
        {row.cameBack ? ", and it came back" : ""}.
      </p>
      <ol class="walked">
        {row.way.map(({ node, edge }, i) => {
          const at = graph.nodes[node]!
          const taken = at.do === "test" ? at.edges[edge]! : undefined
          return (
            <li key={node}>
              <button type="button" onClick={() => goToNode(node)} title="Show in the graph">
                <span class="small quiet">
                  {i + 1} · {kindWords[kindOf(graph, at)]}
                </span>
                <span>{nodeTitle(graph, at)}</span>
                <b>{taken && edgeText(graph, at, taken)}</b>
                {taken && (
                  <span class="small quiet">
                    expected {percent(taken.chance)}
                    {taken.rulesOut.length > 0 ? `, rules out ${taken.rulesOut.length}` : ""}
                  </span>
                )}
              </button>
            </li>
          )
        })}
        <li>
          <button type="button" onClick={() => goToNode(row.end)} title="Show in the graph">
            <span class="small quiet">{kindWords[kindOf(graph, end)]}</span>
            <b>{row.kind === "" ? nodeTitle(graph, end) : verdictOf(graph, row)}</b>
            {row.ending === "open" && <span>The record does not say what came of this step.</span>}
          </button>
        </li>
      </ol>
      <p class="small quiet">
        {Math.round(row.minutes)} min on the graph, {Math.round(row.recorded)} min recorded
        {row.inferred > 0
          ? `; ${row.inferred} steps follow from the confirmed fault and are not in the record`
          : ""}
        .
      </p>
    </section>
  )
}
