import type { Graph } from "../../compiler/run/graph.ts"
import { goToSource } from "../actions/navigate.ts"
import { money, percent } from "../figures.ts"
import { lineOf } from "../line-of.ts"
import { FoldedList } from "./folded-list.tsx"
import { costToGo, edgeText, kindOf, kindWords, nodeTitle } from "./labels.ts"
import type { Figures } from "./node-figures.ts"
import { type Sources, spansOf } from "./sources.ts"
import { wayTo } from "./visible.ts"

interface DetailProps {
  readonly graph: Graph
  readonly figures: Figures
  readonly sources: Sources
  readonly files: Readonly<Record<string, string>>
  readonly at: number
  readonly onChoose: (node: number, bring: boolean) => void
}

/** All about one node in words: how a job gets there, what follows, why, and its source lines. */
export function Detail(props: DetailProps) {
  const { graph, figures, at } = props
  const node = graph.nodes[at]!
  const test = node.do === "test" ? graph.tests[node.test]! : undefined
  return (
    <aside class="detail" aria-label="Chosen node">
      <p class="small quiet">{kindWords[kindOf(graph, node)]}</p>
      <h2>{nodeTitle(graph, node)}</h2>
      <dl class="facts">
        <div>
          <dt>Jobs that get here</dt>
          <dd>{percent(figures.reach[at]!)}</dd>
        </div>
        <div>
          <dt>Cost from here on</dt>
          <dd>{costToGo(graph, figures, at)}</dd>
        </div>
        {test && (
          <div>
            <dt>This step</dt>
            <dd>
              {test.minutes} min, {money(node.do === "test" ? node.cost : 0, graph.money)}
            </dd>
          </div>
        )}
        {node.do === "verdict" && (
          <div>
            <dt>Chance to be right</dt>
            <dd>{percent(node.chance)}</dd>
          </div>
        )}
      </dl>
      {test?.cautions.map((text) => (
        <p key={text} class="caution-line small">
          <b>Caution</b> {text}
        </p>
      ))}
      <WayIn {...props} />
      {node.do === "test" && <Outcomes {...props} node={node} />}
      {(node.do === "verdict" || node.do === "handover") && (
        <section>
          <h3>Candidates</h3>
          <ul class="plain-list">
            {node.candidates.map((candidate) => (
              <li key={`${candidate.fault}${candidate.cured}`}>
                <span class="number">{percent(candidate.chance)}</span> {graph.faults[candidate.fault]!.label}
                {candidate.cured ? " (cured)" : ""}
              </li>
            ))}
          </ul>
        </section>
      )}
      <SourceLines {...props} />
    </aside>
  )
}

function WayIn({ graph, figures, at, onChoose }: DetailProps) {
  const way = wayTo(figures, at)
  if (way.length === 0) return null
  const nodes = [...way, at]
  return (
    <section>
      <h3>Findings that lead here</h3>
      <ol class="plain-list">
        {way.map((from, i) => {
          const node = graph.nodes[from]!
          const edge = node.do === "test" ? node.edges[figures.parentEdge[nodes[i + 1]!]!]! : undefined
          return (
            <li key={from}>
              <button type="button" class="plain link" onClick={() => onChoose(from, true)}>
                {nodeTitle(graph, node)}
              </button>{" "}
              <b>{edge && edgeText(graph, node, edge)}</b>
            </li>
          )
        })}
      </ol>
    </section>
  )
}

function Outcomes({
  graph,
  node,
  onChoose,
}: DetailProps & { node: Extract<Graph["nodes"][number], { do: "test" }> }) {
  return (
    <section>
      <h3>Outcomes</h3>
      <ul class="outcomes">
        {node.edges.map((edge) => (
          <li key={String(edge.cells)}>
            <button type="button" onClick={() => onChoose(edge.to, true)}>
              <b>{edgeText(graph, node, edge)}</b>
              <span class="number">{percent(edge.chance)}</span>
              <span class="then">{nodeTitle(graph, graph.nodes[edge.to]!)}</span>
            </button>
            {edge.rulesOut.length > 0 && (
              <FoldedList lead="Rules out" items={edge.rulesOut.map((fault) => graph.faults[fault]!.label)} />
            )}
            {edge.because.length > 0 && (
              <FoldedList
                lead="Because"
                items={edge.because.map(
                  (rule) => graph.rules[rule]!.because ?? `of the rule in line ${graph.rules[rule]!.line}`,
                )}
              />
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}

function SourceLines({ graph, sources, files, at }: DetailProps) {
  const spans = spansOf(graph, sources, at)
  if (spans.length === 0) return null
  return (
    <section>
      <h3>Source lines</h3>
      <ul class="source-lines">
        {spans.map((span) => {
          const text = files[span.file] ?? ""
          const line = lineOf(text, span.start)
          return (
            <li key={`${span.file}:${span.start}`}>
              <button type="button" onClick={() => goToSource(span)}>
                <span class="small quiet">
                  {span.file}, line {line}
                </span>
                <code>{text.slice(span.start, span.end).split("\n").slice(0, 4).join("\n")}</code>
              </button>
            </li>
          )
        })}
      </ul>
    </section>
  )
}
