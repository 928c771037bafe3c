import { grouped } from "../../compiler/wording/figures.ts"
import "../style/graph.css"
import "../graph/drawing.css"
import { type Signal, useComputed, useSignal } from "@preact/signals"
import StartIcon from "lucide/dist/esm/icons/arrow-left-to-line.mjs"
import SaveIcon from "lucide/dist/esm/icons/image-down.mjs"
import OutlineIcon from "lucide/dist/esm/icons/list-tree.mjs"
import WholeIcon from "lucide/dist/esm/icons/scan.mjs"
import InIcon from "lucide/dist/esm/icons/zoom-in.mjs"
import OutIcon from "lucide/dist/esm/icons/zoom-out.mjs"
import type { RefObject } from "preact"
import { useEffect, useMemo, useRef } from "preact/hooks"
import type { Graph } from "../../compiler/run/graph.ts"
import { jobs } from "../actions/bench.ts"
import { casesState, chosenCase } from "../actions/case-file.ts"
import { difference } from "../actions/compare-graphs.ts"
import { saveFile } from "../actions/files.ts"
import { Canvas, type CanvasHandle, type Picture } from "../graph/canvas.tsx"
import { CompareSelect } from "../graph/compare-select.tsx"
import { Detail } from "../graph/detail.tsx"
import { pathOf } from "../graph/job-path.ts"
import { isStep, nodeOf, shortEdgeText } from "../graph/labels.ts"
import type { LayoutInput } from "../graph/layout.ts"
import type { functions } from "../graph/layout.worker.ts"
import LayoutWorker from "../graph/layout.worker.ts?worker"
import { figuresOf, type NodeFigures, reachOf } from "../graph/node-figures.ts"
import { Outline } from "../graph/outline.tsx"
import { PrintedPicture, useIsPrinting } from "../graph/print.tsx"
import { drawingAsSvg } from "../graph/save.ts"
import { Search } from "../graph/search.tsx"
import { nodesAt, searchText } from "../graph/sources.ts"
import { isOutlineShown, viewStateOf } from "../graph/view-state.ts"
import { type Fold, firstFold, foldsOf, type Visible, visibleOf, wayTo } from "../graph/visible.ts"
import { paneStyle } from "../state/panes.ts"
import type { Compiled } from "../state/plan-state.ts"
import { caret, chosenNode, compiled, planState, version } from "../state/state.ts"
import { whyNoGraph } from "../state/why-no-graph.ts"
import { CodeText } from "../ui/code-text.tsx"
import { EmptyState } from "../ui/empty-state.tsx"
import { percent } from "../ui/figures.ts"
import { Splitter } from "../ui/splitter.tsx"
import { GraphPicture } from "../ui/station-pictures.tsx"
import { Tool } from "../ui/tool.tsx"
import { forward, type Remote } from "../workers/rpc.ts"

/** The worker that lays graphs out, started with the first. */
let layouts: Remote<typeof functions> | undefined
function layoutWorker(): Remote<typeof functions> {
  layouts ??= forward<typeof functions>(new LayoutWorker())
  return layouts
}

/** The compiled decision graph as a picture, with the chosen node explained beside it. */
export function GraphView() {
  const made = compiled.value
  if (!made) {
    return (
      <EmptyState title="No graph yet" picture={<GraphPicture />}>
        <p>
          <CodeText text={whyNoGraph(planState.value)} />
        </p>
      </EmptyState>
    )
  }
  return <GraphOf key={`${made.graph.ruleset.source}${made.final}`} made={made} />
}

function GraphOf({ made }: { made: Compiled }) {
  const { graph, sources } = made
  const figures = useMemo(() => figuresOf(graph), [graph])
  const folds = useMemo(() => foldsOf(graph, figures), [graph, figures])
  const state = viewStateOf(graph.ruleset.source, graph.nodes.length)
  const { opened, query } = state
  const least = useComputed(() => state.least.value ?? firstFold(folds))
  const picture = useSignal<Picture | undefined>(undefined)
  const canvas = useRef<CanvasHandle>(null)
  const focus = useRef<Picture["focus"]>(state.camera ? undefined : "whole")

  const visible = useComputed(() => visibleOf(graph, figures, least.value, opened.value))
  const { found, lit, way, path } = useMarks(made, figures, query)
  const chosen =
    chosenNode.value !== undefined && graph.nodes[chosenNode.value] ? chosenNode.value : graph.start
  const shown = visible.value
  useLayout(graph, shown, picture, focus)

  const choose = (at: number, show: boolean) => {
    chosenNode.value = at
    if (!show) return
    if (picture.value?.layout.nodes.has(at)) return canvas.current?.show(at)
    focus.current = at
    opened.value = new Set([...opened.value, ...wayTo(figures, at)])
  }
  const open = (at: number) => {
    focus.current = at
    opened.value = new Set([...opened.value, at])
  }
  const isPrinting = useIsPrinting()
  const save = () => picture.value && savePicture(graph, figures, picture.value, path.value)

  return (
    <div class={isOutlineShown.value ? "graph with-outline" : "graph"} style={paneStyle("outline", "detail")}>
      <div class="graph-tools" role="toolbar" aria-label="Graph">
        <Search {...{ graph, figures, query, chosen }} hits={[...found.value]} onChoose={choose} />
        <div class="toolbar">
          <OutlineSwitch />
          <Camera canvas={canvas} start={graph.start} onSave={picture.value && save} />
        </div>
        <FoldSelect
          folds={folds}
          least={least.value}
          onFold={(share) => {
            opened.value = new Set()
            focus.current = "whole"
            state.least.value = share
          }}
        />
        <CompareSelect />
      </div>
      {isPrinting && picture.value && (
        <PrintedPicture graph={graph} figures={figures} picture={picture.value} path={path.value} />
      )}
      {(isOutlineShown.value || isPrinting) && (
        <Outline
          {...{ graph, figures, chosen }}
          path={path.value}
          unfolded={state.unfolded}
          onChoose={choose}
        />
      )}
      <Canvas
        ref={canvas}
        state={state}
        graph={graph}
        figures={figures}
        picture={picture.value}
        arranging={picture.value?.visible === shown ? 0 : shown.nodes.length}
        lit={lit.value}
        path={path.value}
        found={found.value}
        chosen={chosen}
        onChoose={choose}
        onOpen={open}
      />
      <Count made={made} shown={shown.nodes.length} lit={way.value.says} />
      {isOutlineShown.value && (
        <Splitter pane="outline" label="Width of the outline" side="left" usual={27} />
      )}
      <Splitter pane="detail" label="Width of what is said of the node" side="right" usual={26} />
      <Detail
        graph={graph}
        figures={figures}
        sources={sources}
        reasons={made.reasons}
        instead={made.instead}
        files={made.project.files}
        at={chosen}
        onChoose={choose}
      />
    </div>
  )
}

function savePicture(graph: Graph, figures: NodeFigures, picture: Picture, path: ReadonlySet<number>): void {
  const none = new Set<number>()
  const svg = drawingAsSvg({ graph, figures, ...picture, lit: none, path, found: none })
  saveFile(`${graph.ruleset.name}.svg`, svg, "image/svg+xml")
}

/**
 * Nodes that stand out: those that a search found, or where the plan parts from another; those of the line at the caret;
 * and the way of the job at hand.
 */
function useMarks({ graph, sources, version: of }: Compiled, figures: NodeFigures, query: Signal<string>) {
  const found = useComputed(() => {
    const words = query.value.trim().toLowerCase()
    if (words === "") return new Set(difference.value?.partings.flatMap(({ node }) => node ?? []))
    const hits = graph.nodes.flatMap((_, at) => (searchText(graph, at).includes(words) ? [at] : []))
    return new Set(hits.sort((a, b) => reachOf(figures, b) - reachOf(figures, a)))
  })
  const lit = useComputed(() => {
    const at = caret.value
    return at && of === version.value ? nodesAt(graph, sources, at.file, at.offset) : new Set<number>()
  })
  const way = useComputed(() => wayAtHand(graph))
  const path = useComputed(() => new Set(way.value.nodes))
  return { found, lit, way, path }
}

interface Way {
  readonly nodes: readonly number[]
  /** Whose it is; empty for nobody's. */
  readonly says: string
}

/** The way of the chosen case, else of the job at the bench, where either is of this graph. */
function wayAtHand(graph: Graph): Way {
  const { rows, graph: replayed } = casesState.value
  const row = replayed === graph ? rows?.find(({ line }) => line === chosenCase.value) : undefined
  if (row) {
    const nodes = [...row.way.map(({ node }) => node), ...(row.end === undefined ? [] : [row.end])]
    return { nodes, says: `case ${row.id}` }
  }
  const job = jobs.current.value
  const log = job?.graph.ruleset.source === graph.ruleset.source ? job.session.value.log : []
  return job && log.length > 0
    ? { nodes: pathOf(graph, log), says: `job ${job.saved.value.id}` }
    : { nodes: [], says: "" }
}

function OutlineSwitch() {
  return (
    <Tool
      icon={OutlineIcon}
      aria-pressed={isOutlineShown.value}
      onClick={() => {
        isOutlineShown.value = !isOutlineShown.value
      }}
    >
      Outline
    </Tool>
  )
}

/** Lays out what is shown, in a worker; a picture that comes late is dropped. */
function useLayout(
  graph: Graph,
  shown: Visible,
  picture: Signal<Picture | undefined>,
  focus: RefObject<Picture["focus"]>,
): void {
  useEffect(() => {
    let late = false
    const input: LayoutInput = {
      nodes: shown.nodes,
      stubs: [...shown.folds.keys()],
      edges: shown.edges.map((edge) => {
        const node = nodeOf(graph, edge.from)
        const taken = isStep(node) ? node.edges[edge.edge] : undefined
        const text = isStep(node) && taken ? shortEdgeText(graph, node, taken) : ""
        return { from: edge.from, to: edge.to, labelWidth: 12 + 6.2 * Math.min(30, text.length) }
      }),
    }
    layoutWorker()
      .arrange(input)
      .then((next) => {
        if (late) return
        picture.value = { visible: shown, layout: next, focus: focus.current }
        focus.current = undefined
      })
    return () => {
      late = true
    }
  }, [shown, graph, picture, focus])
}

function FoldSelect({
  folds,
  least,
  onFold,
}: {
  folds: readonly Fold[]
  least: number
  onFold: (share: number) => void
}) {
  return (
    <label class="row small">
      Fold below
      <select value={String(least)} onChange={(event) => onFold(Number(event.currentTarget.value))}>
        {folds.map(({ share, nodes, fits }) => (
          <option key={share} value={String(share)} disabled={!fits}>
            {share === 0 ? "nothing" : `${percent(share)} of jobs`}
            {!fits && `: ${grouped(nodes)} nodes, too many to draw`}
          </option>
        ))}
      </select>
    </label>
  )
}

interface CameraProps {
  readonly canvas: RefObject<CanvasHandle | null>
  readonly start: number
  readonly onSave: (() => void) | undefined
}

function Camera({ canvas, start, onSave }: CameraProps) {
  return (
    <>
      <Tool icon={OutIcon} aria-label="Zoom out" onClick={() => canvas.current?.zoom(1 / 1.4)} />
      <Tool icon={InIcon} aria-label="Zoom in" onClick={() => canvas.current?.zoom(1.4)} />
      <Tool icon={WholeIcon} onClick={() => canvas.current?.whole()}>
        Whole
      </Tool>
      <Tool icon={StartIcon} onClick={() => canvas.current?.show(start)}>
        Start
      </Tool>
      <Tool icon={SaveIcon} onClick={onSave} disabled={!onSave}>
        Save SVG
      </Tool>
    </>
  )
}

/** `lit`: whose way through the graph is lit. */
function Count({ made, shown, lit }: { made: Compiled; shown: number; lit: string }) {
  const all = made.graph.nodes.length
  const old = made.version !== version.value
  return (
    <p class="small quiet graph-count" role="status">
      {`${grouped(shown)} of ${grouped(all)} nodes`}
      {lit && ` · lit: the way of ${lit}`}
      {old ? " · of an older text" : made.final ? "" : " · still being improved"}
    </p>
  )
}
