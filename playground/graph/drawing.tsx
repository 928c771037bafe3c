import { memo } from "preact/compat"
import type { Graph, GraphNode } from "../../compiler/run/graph.ts"
import { at } from "../../compiler/run/lookup.ts"
import { cautionsOf, placeOf } from "../../compiler/run/work.ts"
import type { ActionKind } from "../../compiler/wording/actions.ts"
import { rounded } from "../../compiler/wording/figures.ts"
import { percent } from "../ui/figures.ts"
import { costToGo, isStep, kindOf, kindText, nodeOf, nodeTitle, shortEdgeText } from "./labels.ts"
import { type Layout, NODE_HEIGHT, NODE_WIDTH, type Point, STUB_HEIGHT, STUB_WIDTH } from "./layout.ts"
import { type NodeFigures, reachOf } from "./node-figures.ts"
import type { Visible } from "./visible.ts"

/** A rectangle of the drawing; what lies outside is not rendered. */
export interface Viewport {
  readonly left: number
  readonly top: number
  readonly right: number
  readonly bottom: number
}

export interface DrawingProps {
  readonly graph: Graph
  readonly figures: NodeFigures
  readonly visible: Visible
  readonly layout: Layout
  readonly window: Viewport
  /** False from afar, where words could not be read anyway. */
  readonly words: boolean
  readonly lit: ReadonlySet<number>
  readonly path: ReadonlySet<number>
  readonly found: ReadonlySet<number>
  readonly chosen: number | undefined
}

/** The picture itself; the same for the screen and for the saved SVG. Nodes carry `data-node`, stubs `data-stub`. */
export const Drawing = memo((props: DrawingProps) => {
  const { visible, layout, window } = props
  const near = ({ x, y }: Point, width: number, height: number) =>
    x + width / 2 >= window.left &&
    x - width / 2 <= window.right &&
    y + height / 2 >= window.top &&
    y - height / 2 <= window.bottom
  return (
    <>
      {visible.edges.map((edge, i) => {
        const laid = layout.edges[i]
        return laid && crosses(laid.points, window) && <Edge key={i} {...props} index={i} from={edge.from} />
      })}
      {/* Over all lines, so that none strikes a word through. */}
      {props.words &&
        visible.edges.map((edge, i) => {
          const laid = layout.edges[i]
          return (
            laid &&
            near(laid, STUB_WIDTH, STUB_HEIGHT) && <Label key={i} {...props} index={i} from={edge.from} />
          )
        })}
      {[...visible.folds].map(([at, fold]) => {
        const place = layout.stubs.get(at)
        const from = layout.nodes.get(at)
        return (
          place &&
          from &&
          near(place, STUB_WIDTH, STUB_HEIGHT) && (
            <g key={`f${at}`} class="stub" data-stub={at}>
              <path
                class="edge thin"
                d={curve([
                  { x: from.x + NODE_WIDTH / 2, y: from.y },
                  { x: place.x - STUB_WIDTH / 2, y: place.y },
                ])}
              />
              <rect
                x={place.x - STUB_WIDTH / 2}
                y={place.y - STUB_HEIGHT / 2}
                width={STUB_WIDTH}
                height={STUB_HEIGHT}
                rx={STUB_HEIGHT / 2}
              />
              {props.words && (
                <text x={place.x} y={place.y + 4} text-anchor="middle">
                  {`${fold.outcomes} more · ${percent(fold.chance)}`}
                </text>
              )}
            </g>
          )
        )
      })}
      {visible.nodes.map((at) => {
        const place = layout.nodes.get(at)
        return (
          place && near(place, NODE_WIDTH, NODE_HEIGHT) && <Node key={at} {...props} at={at} place={place} />
        )
      })}
    </>
  )
})

function Node({
  at,
  place,
  graph,
  figures,
  words,
  lit,
  path,
  found,
  chosen,
}: DrawingProps & { at: number; place: Point }) {
  const node = nodeOf(graph, at)
  const kind = kindOf(graph, node)
  const classes = ["node", kind, ...(isRepair(kind) ? ["repair"] : [])]
  if (lit.has(at)) classes.push("lit")
  if (path.has(at)) classes.push("on-path")
  if (found.has(at)) classes.push("found")
  if (chosen === at) classes.push("chosen")
  const left = place.x - NODE_WIDTH / 2
  const top = place.y - NODE_HEIGHT / 2
  const caution = cautionsOf(graph, node).length > 0
  return (
    <g class={classes.join(" ")} data-node={at}>
      <path d={outline(kind, left, top)} />
      {!words && <FromAfar {...{ graph, figures, at, left, top }} />}
      {words && (
        <>
          <text class="kind" x={left + 12} y={top + 17}>
            {kindText(graph, node)}
            {caution ? " ⚠" : ""}
          </text>
          <text class="figure" x={left + NODE_WIDTH - 12} y={top + 17} text-anchor="end">
            {`${percent(reachOf(figures, at))} · ${costToGo(graph, node)}`}
          </text>
          {twoLines(nodeTitle(graph, node), TITLE_LETTERS).map((line, i) => (
            <text key={line} class="title" x={left + 12} y={top + 39 + 18 * i}>
              {line}
            </text>
          ))}
        </>
      )}
    </g>
  )
}

interface FromAfarProps extends Pick<DrawingProps, "graph" | "figures"> {
  readonly at: number
  readonly left: number
  readonly top: number
}

/** What can still be read from afar: where the work is, how many jobs come here, and what it costs from here. */
function FromAfar({ graph, figures, at, left, top }: FromAfarProps) {
  const node = nodeOf(graph, at)
  const label = graph.places[placeWorkedOn(graph, node) ?? -1]?.label ?? nodeTitle(graph, node)
  const cost = rounded(node.do === "handover" ? graph.handover : node.costToGo, 0)
  return (
    <>
      <text class="afar" x={left + 8} y={top + 31}>
        {clip(label, 12)}
      </text>
      <text class="afar figure" x={left + 8} y={top + 63}>
        {`${percent(reachOf(figures, at))} · ${cost}`}
      </text>
    </>
  )
}

/** Where a step takes place; a reading that is only taken has none. */
function placeWorkedOn(graph: Graph, node: GraphNode): number | undefined {
  if (!isStep(node)) return undefined
  const { parts = [], redoes = [] } = node.do === "test" ? at(graph.model.tests, node.test) : {}
  return placeOf(graph, node) ?? parts[0] ?? redoes[0]?.[0]
}

function Edge({
  graph,
  figures,
  visible,
  layout,
  path,
  index,
  from,
}: DrawingProps & { index: number; from: number }) {
  const node = nodeOf(graph, from)
  const edge = isStep(node) ? node.edges[at(visible.edges, index).edge] : undefined
  if (!edge) return null
  const share = reachOf(figures, from) * edge.chance
  const width = (1 + 11 * Math.sqrt(share)).toFixed(1)
  const isOn = path.has(from) && path.has(edge.to ?? -1)
  return (
    <path
      class={isOn ? "edge on-path" : "edge"}
      d={curve(at(layout.edges, index).points)}
      stroke-width={width}
    />
  )
}

function Label({ graph, visible, layout, index, from }: DrawingProps & { index: number; from: number }) {
  const { x, y } = at(layout.edges, index)
  const node = nodeOf(graph, from)
  const edge = isStep(node) ? node.edges[at(visible.edges, index).edge] : undefined
  if (!edge || !isStep(node)) return null
  return (
    <text class="outcome" x={x} y={y + 4} text-anchor="middle">
      {clip(shortEdgeText(graph, node, edge), 30)}
    </text>
  )
}

/** Shape tells the kind without colour: tests are boxes, repairs lean, closing is round, handing over has cut corners. */
function outline(kind: ActionKind, left: number, top: number): string {
  const right = left + NODE_WIDTH
  const bottom = top + NODE_HEIGHT
  if (kind === "close") {
    const r = 20
    const corner = (x: number, y: number) => `A${r} ${r} 0 0 1 ${x} ${y}`
    return `M${left + r} ${top}H${right - r}${corner(right, top + r)}V${bottom - r}${corner(right - r, bottom)}H${left + r}${corner(left, bottom - r)}V${top + r}${corner(left + r, top)}Z`
  }
  if (kind === "handover") {
    const c = 14
    return `M${left + c} ${top}H${right - c}L${right} ${top + c}V${bottom - c}L${right - c} ${bottom}H${left + c}L${left} ${bottom - c}V${top + c}Z`
  }
  if (isRepair(kind)) {
    const lean = 10
    return `M${left + lean} ${top}H${right}L${right - lean} ${bottom}H${left}Z`
  }
  return `M${left} ${top}H${right}V${bottom}H${left}Z`
}

const isRepair = (kind: ActionKind) => kind === "keep" || kind === "replace" || kind === "fix"

/** Horizontal at both ends, so that a bundle of ways out of one node fans out softly. */
function curve(points: readonly Point[]): string {
  let path = ""
  for (const [i, to] of points.entries()) {
    const from = points[i - 1]
    if (from === undefined) {
      path = `M${to.x.toFixed(1)} ${to.y.toFixed(1)}`
      continue
    }
    const half = (to.x - from.x) / 2
    path += `C${(from.x + half).toFixed(1)} ${from.y.toFixed(1)} ${(to.x - half).toFixed(1)} ${to.y.toFixed(1)} ${to.x.toFixed(1)} ${to.y.toFixed(1)}`
  }
  return path
}

function crosses(points: readonly Point[], window: Viewport): boolean {
  let left = Number.POSITIVE_INFINITY
  let right = Number.NEGATIVE_INFINITY
  let top = Number.POSITIVE_INFINITY
  let bottom = Number.NEGATIVE_INFINITY
  for (const { x, y } of points) {
    left = Math.min(left, x)
    right = Math.max(right, x)
    top = Math.min(top, y)
    bottom = Math.max(bottom, y)
  }
  return right >= window.left && left <= window.right && bottom >= window.top && top <= window.bottom
}

const TITLE_LETTERS = 29

/** As much of a text as two lines hold, broken between words. */
function twoLines(text: string, most: number): string[] {
  if (text.length <= most) return [text]
  const end = text.lastIndexOf(" ", most)
  const cut = end > most / 2 ? end : most
  return [text.slice(0, cut), clip(text.slice(cut).trimStart(), most)]
}

function clip(text: string, most: number): string {
  return text.length <= most ? text : `${text.slice(0, most - 1).trimEnd()}…`
}
