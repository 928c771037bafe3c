import type { Signal } from "@preact/signals"
import OpenIcon from "lucide/dist/esm/icons/chevron-down.mjs"
import ShutIcon from "lucide/dist/esm/icons/chevron-right.mjs"
import FoldIcon from "lucide/dist/esm/icons/chevrons-down-up.mjs"
import UnfoldIcon from "lucide/dist/esm/icons/chevrons-up-down.mjs"
import PrintIcon from "lucide/dist/esm/icons/printer.mjs"
import { useEffect, useMemo, useRef } from "preact/hooks"
import type { Graph, GraphEdge } from "../../compiler/run/graph.ts"
import { percent } from "../ui/figures.ts"
import { Icon } from "../ui/icon.tsx"
import { Tool } from "../ui/tool.tsx"
import { costToGo, edgeText, isStep, nodeOf, nodeTitle } from "./labels.ts"
import { type NodeFigures, reachOf } from "./node-figures.ts"
import { wayTo } from "./visible.ts"

interface Props {
  readonly graph: Graph
  readonly figures: NodeFigures
  readonly chosen: number
  /** The way of the job at hand, or of the chosen case. */
  readonly path: ReadonlySet<number>
  readonly unfolded: Signal<ReadonlySet<number> | undefined>
  readonly onChoose: (node: number, bring: boolean) => void
}

/** Steps to which fewer jobs come are folded at first. */
const LIKELY = 0.1

/** The plan as indented text: what is done, what may come of it, and what is done then. */
export function Outline(props: Props) {
  const { graph, figures, chosen, unfolded } = props
  const box = useRef<HTMLElement>(null)
  const first = useMemo(
    () => new Set(graph.nodes.flatMap((_, at) => (reachOf(figures, at) >= LIKELY ? [at] : []))),
    [graph, figures],
  )
  const open = unfolded.value ?? first
  const way = useMemo(() => new Set(wayTo(figures, chosen)), [figures, chosen])
  useEffect(() => {
    box.current?.querySelector(".outline-go.chosen")?.scrollIntoView({ block: "nearest" })
  }, [chosen])
  const toggle = (at: number) => {
    const next = new Set(open)
    if (!next.delete(at)) next.add(at)
    unfolded.value = next
  }
  const isOpen = (at: number) => open.has(at) || way.has(at)
  return (
    <nav class="outline" ref={box} aria-label="Outline of the plan">
      <div class="toolbar">
        <Tool
          icon={UnfoldIcon}
          onClick={() => {
            unfolded.value = new Set(graph.nodes.keys())
          }}
        >
          Unfold all
        </Tool>
        <Tool
          icon={FoldIcon}
          onClick={() => {
            unfolded.value = new Set([graph.start])
          }}
        >
          Fold
        </Tool>
        <Tool icon={PrintIcon} onClick={() => print()}>
          Print
        </Tool>
      </div>
      <ul>
        <Branch {...props} at={graph.start} edge={undefined} isOpen={isOpen} onToggle={toggle} />
      </ul>
    </nav>
  )
}

interface BranchProps extends Props {
  readonly at: number
  /** The outcome that leads here; none at the start. */
  readonly edge: string | undefined
  readonly isOpen: (at: number) => boolean
  readonly onToggle: (at: number) => void
}

function Branch(props: BranchProps) {
  const { graph, figures, at, edge, chosen, path, isOpen, onToggle, onChoose } = props
  const node = nodeOf(graph, at)
  const title = nodeTitle(graph, node)
  const edges = isStep(node) ? [...node.edges.entries()].sort(([, a], [, b]) => b.chance - a.chance) : []
  const open = edges.length > 0 && isOpen(at)
  return (
    <li>
      <div class={path.has(at) ? "outline-line path" : "outline-line"}>
        {edges.length > 0 ? (
          <button
            type="button"
            class="tool outline-fold"
            aria-expanded={open}
            aria-label={`What follows: ${title}`}
            onClick={() => onToggle(at)}
          >
            <Icon of={open ? OpenIcon : ShutIcon} size={16} />
          </button>
        ) : (
          <span class="outline-fold" />
        )}
        <button
          type="button"
          class={at === chosen ? "tool outline-go chosen" : "tool outline-go"}
          aria-current={at === chosen ? "true" : undefined}
          onClick={() => onChoose(at, true)}
        >
          {edge && <span class="small outline-edge">{edge}: </span>}
          {title}{" "}
          <span class="small quiet">
            {percent(reachOf(figures, at))} · {costToGo(graph, node)}
          </span>
        </button>
      </div>
      {open && (
        <ul>
          {edges.map(([i, each]) => (
            <Outcome key={i} {...props} index={i} outcome={each} />
          ))}
        </ul>
      )}
    </li>
  )
}

function Outcome({ index, outcome, ...props }: BranchProps & { index: number; outcome: GraphEdge }) {
  const { graph, figures, at, onChoose } = props
  const node = nodeOf(graph, at)
  const { to } = outcome
  const text = isStep(node) ? edgeText(graph, node, outcome) : ""
  if (to !== undefined && figures.parent[to] === at && figures.parentEdge[to] === index)
    return <Branch {...props} at={to} edge={text} />
  return (
    <li class="outline-line">
      <span class="outline-fold" />
      {to === undefined ? (
        <span class="outline-go small">
          <span class="outline-edge">{text}:</span> the job ends
        </span>
      ) : (
        <button type="button" class="tool outline-go small" onClick={() => onChoose(to, true)}>
          <span class="outline-edge">{text}:</span> go on at “{nodeTitle(graph, nodeOf(graph, to))}”
        </button>
      )}
    </li>
  )
}
