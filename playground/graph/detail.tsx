import type { ComponentChildren } from "preact"
import type { Candidate, Graph, GraphNode, GraphRule, GraphStep } from "../../compiler/run/graph.ts"
import type { ProofIndex } from "../../compiler/run/indexes.ts"
import { at } from "../../compiler/run/lookup.ts"
import { cautionsOf } from "../../compiler/run/work.ts"
import { goToSource } from "../actions/navigate.ts"
import { lineOf } from "../state/line-of.ts"
import type { Alternative } from "../state/plan-state.ts"
import { CodeText } from "../ui/code-text.tsx"
import { duration, minutes, money, percent } from "../ui/figures.ts"
import { Comparison } from "./comparison.tsx"
import { FoldedList } from "./folded-list.tsx"
import { costToGo, edgeText, isStep, kindText, nodeOf, nodeTitle, targetText } from "./labels.ts"
import { type NodeFigures, reachOf } from "./node-figures.ts"
import { type Sources, spansOf } from "./sources.ts"
import { wayTo } from "./visible.ts"

interface DetailProps {
  readonly graph: Graph
  readonly figures: NodeFigures
  readonly sources: Sources
  /** By node, in words. */
  readonly reasons: readonly (string | undefined)[]
  /** By node, the cheapest that could be done there instead. */
  readonly instead: readonly (Alternative | undefined)[]
  readonly files: Readonly<Record<string, string>>
  readonly at: number
  readonly onChoose: (node: number, bring: boolean) => void
}

/** All about one node in words: how a job gets there, why, what follows, and its source lines. */
export function Detail(props: DetailProps) {
  const { graph } = props
  const node = nodeOf(graph, props.at)
  return (
    <aside class="detail" aria-label="Chosen node">
      <Comparison money={graph.money} onChoose={props.onChoose} />
      <p class="small quiet">{kindText(graph, node)}</p>
      <h2>{nodeTitle(graph, node)}</h2>
      <Facts {...props} node={node} />
      {cautionsOf(graph, node).map((text) => (
        <p key={text} class="cautions small">
          <b>Caution</b> {text}
        </p>
      ))}
      <Instead graph={graph} instead={props.instead[props.at]} />
      <Reason
        parts={props.reasons[props.at]?.split("; ").slice(1, props.instead[props.at] ? -1 : undefined)}
      />
      <WayIn {...props} />
      {isStep(node) && <Outcomes {...props} node={node} />}
      {node.do === "handover" && <Candidates graph={graph} candidates={node.candidates} />}
      <SourceLines {...props} />
    </aside>
  )
}

function Facts({ graph, figures, node, ...props }: DetailProps & { node: GraphNode }) {
  const isBought = node.do === "keep" || node.do === "replace"
  const price = isBought ? at(graph.places, node.part).price : undefined
  const passes = node.do === "close" ? node.edges.find(({ on }) => on === "holds")?.chance : undefined
  return (
    <dl class="facts">
      <Fact name="Jobs that get here">{percent(reachOf(figures, props.at))}</Fact>
      <Fact name="Cost from here on">{costToGo(graph, node)}</Fact>
      {isStep(node) && <Fact name="This step">{money(node.cost, graph.money)}</Fact>}
      {isStep(node) && <Fact name="Work">{workText(graph, node)}</Fact>}
      {price !== undefined && <Fact name="Of it the part">{money(price, graph.money)}</Fact>}
      {passes !== undefined && <Fact name="Proof run passes">{percent(passes)}</Fact>}
    </dl>
  )
}

/** Minutes of work, and how long the machine waits; without the tries of a look. */
function workText(graph: Graph, node: GraphStep): string {
  const { minutes: work, waits = 0 } = workOf(graph, node)
  return [minutes(work), ...(waits > 0 ? [`waits ${duration(waits)}`] : [])].join(", ")
}

function workOf(graph: Graph, node: GraphStep): { readonly minutes: number; readonly waits?: number } {
  const none = { minutes: 0 }
  switch (node.do) {
    case "test":
      return at(graph.tests, node.test)
    case "replace":
      return graph.model.replace[node.part] ?? none
    case "fix":
      return graph.model.fix[node.fault] ?? none
    case "close":
      return { minutes: node.proofs.reduce((sum, proof) => sum + proofMinutes(graph, proof), 0) }
    case "putBack":
      return graph.tests.find((_, test) => at(graph.model.tests, test).parts?.includes(node.part)) ?? none
    default:
      return none
  }
}

function proofMinutes(graph: Graph, proof: ProofIndex): number {
  const { times, minutes: each } = at(graph.proofs, proof)
  return times * each
}

function Fact({ name, children }: { name: string; children: ComponentChildren }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  )
}

/** The cheapest of what else could be done here. */
function Instead({ graph, instead }: { graph: Graph; instead: Alternative | undefined }) {
  if (!instead) return null
  const { title, dearer } = instead
  return (
    <section>
      <h3>Cheapest alternative</h3>
      <p class="small">
        {title}: {dearer < 0.005 ? "costs as much" : `${money(dearer, graph.money)} more a job`}
      </p>
    </section>
  )
}

/** Without what the step costs and what else could be done, which stand above. */
function Reason({ parts }: { parts: readonly string[] | undefined }) {
  if (!parts || parts.length === 0) return null
  return (
    <section>
      <h3>Why this step</h3>
      <ul class="dots small">
        {parts.map((part) => (
          <li key={part}>
            <CodeText text={part} />
          </li>
        ))}
      </ul>
    </section>
  )
}

function WayIn({ graph, figures, at: chosen, onChoose }: DetailProps) {
  const way = wayTo(figures, chosen)
  if (way.length === 0) return null
  return (
    <section>
      <h3>Steps that lead here</h3>
      <ol class="plain-list">
        {way.map((from, i) => {
          const node = nodeOf(graph, from)
          const taken = at(figures.parentEdge, way[i + 1] ?? chosen)
          const edge = isStep(node) ? node.edges[taken] : undefined
          return (
            <li key={from}>
              <button type="button" class="plain link" onClick={() => onChoose(from, true)}>
                {nodeTitle(graph, node)}
              </button>{" "}
              <b>{isStep(node) && edge && edgeText(graph, node, edge)}</b>
            </li>
          )
        })}
      </ol>
    </section>
  )
}

function Outcomes({ graph, node, onChoose }: DetailProps & { node: GraphStep }) {
  return (
    <section>
      <h3>Outcomes</h3>
      <ul class="outcomes">
        {node.edges.map((edge) => (
          <li key={`${edge.on}${edge.leaveIn}`}>
            <button
              type="button"
              disabled={edge.to === undefined}
              onClick={() => edge.to !== undefined && onChoose(edge.to, true)}
            >
              <b>{edgeText(graph, node, edge)}</b>
              <span class="number">{percent(edge.chance)}</span>
              <span class="then">{targetText(graph, edge)}</span>
            </button>
            {edge.rulesOut.length > 0 && (
              <FoldedList
                lead="Rules out"
                items={edge.rulesOut.map((fault) => at(graph.faults, fault).label)}
              />
            )}
            {edge.because.length > 0 && (
              <FoldedList
                lead="Because"
                items={edge.because.map((rule) => reasonOf(at(graph.rules, rule)))}
              />
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}

/** A rule's own reason, or where the rule is. */
const reasonOf = ({ because, line }: GraphRule) => because ?? `of the rule in line ${line}`

function Candidates({ graph, candidates }: { graph: Graph; candidates: readonly Candidate[] }) {
  return (
    <section>
      <h3>Suspects</h3>
      <table>
        <thead>
          <tr>
            <th scope="col">Fault</th>
            <th scope="col" class="number">
              Came in with it
            </th>
            <th scope="col" class="number">
              Active now
            </th>
          </tr>
        </thead>
        <tbody>
          {candidates.map(({ fault, present, active }) => (
            <tr key={fault ?? "unlisted"}>
              <td>{fault === undefined ? "Something not listed" : at(graph.faults, fault).label}</td>
              <td class="number">{percent(present)}</td>
              <td class="number">{percent(active)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

function SourceLines({ graph, sources, files, at: chosen }: DetailProps) {
  const spans = spansOf(graph, sources, chosen)
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
