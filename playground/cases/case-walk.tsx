import { useEffect, useRef } from "preact/hooks"
import type { Graph } from "../../compiler/run/graph.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import { startSecondJob } from "../actions/bench.ts"
import { chosenCase } from "../actions/case-file.ts"
import { caseBeside } from "../actions/case-filter.ts"
import { recordIn } from "../actions/case-records.ts"
import { goToNode } from "../actions/navigate.ts"
import { edgeText, isStep, kindText, nodeOf, nodeTitle } from "../graph/labels.ts"
import { CodeText } from "../ui/code-text.tsx"
import { percent } from "../ui/figures.ts"
import type { CaseRow } from "../workers/replay.worker.ts"
import { endingText } from "./case-order.ts"

/** One case walked through the graph, step by step; each step leads into the picture. */
export function OneCase({ row, graph }: { row: CaseRow; graph: Graph }) {
  const section = useRef<HTMLElement>(null)
  // On a narrow screen it is below the table in which it was chosen.
  useEffect(() => section.current?.scrollIntoView({ block: "nearest" }), [row])
  return (
    <section ref={section} class="card one-case" aria-labelledby="one-case-title">
      <div class="row">
        <h2 id="one-case-title" class="grow">
          {row.id}, step by step
        </h2>
        <Beside by={-1}>Previous</Beside>
        <Beside by={1}>Next</Beside>
      </div>
      <div class="row">
        <button
          type="button"
          onClick={() => {
            const record = recordIn(row.line)
            if (record) startSecondJob(record)
          }}
        >
          It came back: second job
        </button>
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
        <b class={`ending ${row.ending}`}>{endingText(row.ending)}</b>
        {row.cameBack ? ", and it came back" : ""}.
      </p>
      <ol class="walked">
        {row.way.map(({ node, edge }, i) => (
          <WalkedStep key={node} graph={graph} node={node} edge={edge} number={i + 1} />
        ))}
        {row.end !== undefined && <LastStep graph={graph} node={row.end} isOpen={row.ending === "open"} />}
      </ol>
      <p>
        The graph <CodeText text={row.says} />.
      </p>
      <p class="small quiet">
        {Math.round(row.minutes)} min on the graph, {Math.round(row.recorded)} min recorded
        {row.inferred > 0
          ? `; ${countOf(row.inferred, "outcome")} inferred: not in the record, but certain with what was confirmed`
          : ""}
        .
      </p>
    </section>
  )
}

/** The case before or after this one, as the table has them. */
function Beside({ by, children }: { by: number; children: string }) {
  const row = caseBeside(by)
  return (
    <button
      type="button"
      class="tool"
      disabled={!row}
      title={row?.id}
      onClick={() => {
        chosenCase.value = row?.line
      }}
    >
      {children}
    </button>
  )
}

interface StepProps {
  readonly graph: Graph
  readonly node: number
  readonly edge: number
  readonly number: number
}

function WalkedStep({ graph, node, edge, number }: StepProps) {
  const at = nodeOf(graph, node)
  const taken = isStep(at) ? at.edges[edge] : undefined
  return (
    <li>
      <button type="button" onClick={() => goToNode(node)} title="Show in the graph">
        <span class="small quiet">
          {number} · {kindText(graph, at)}
        </span>
        <span>{nodeTitle(graph, at)}</span>
        {isStep(at) && taken && (
          <>
            <b>{edgeText(graph, at, taken)}</b>
            <span class="small quiet">
              expected {percent(taken.chance)}
              {taken.rulesOut.length > 0 ? `, rules out ${taken.rulesOut.length}` : ""}
            </span>
          </>
        )}
      </button>
    </li>
  )
}

function LastStep({ graph, node, isOpen }: { graph: Graph; node: number; isOpen: boolean }) {
  const at = nodeOf(graph, node)
  return (
    <li>
      <button type="button" onClick={() => goToNode(node)} title="Show in the graph">
        <span class="small quiet">{kindText(graph, at)}</span>
        <b>{nodeTitle(graph, at)}</b>
        {isOpen && <span>The record doesn't say what came of this step.</span>}
      </button>
    </li>
  )
}
