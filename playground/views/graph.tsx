import { grouped } from "../../compiler/wording/figures.ts"
import "../style/graph.css"
import "../graph/drawing.css"
import { useComputed, useSignal } from "@preact/signals"
import { useMemo, useRef } from "preact/hooks"
import type { Graph } from "../../compiler/run/graph.ts"
import { saveFile } from "../actions/files.ts"
import { Canvas, type CanvasHandle, type Picture } from "../graph/canvas.tsx"
import { CompareSelect } from "../graph/compare-select.tsx"
import { Detail } from "../graph/detail.tsx"
import { useMarks } from "../graph/marks.ts"
import { figuresOf, type NodeFigures } from "../graph/node-figures.ts"
import { Outline } from "../graph/outline.tsx"
import { PrintedPicture, useIsPrinting } from "../graph/print.tsx"
import { drawingAsSvg } from "../graph/save.ts"
import { Search } from "../graph/search.tsx"
import { Camera, FoldSelect, OutlineSwitch } from "../graph/tools.tsx"
import { useLayout } from "../graph/use-layout.ts"
import { isOutlineShown, viewStateOf } from "../graph/view-state.ts"
import { firstFold, foldsOf, visibleOf, wayTo } from "../graph/visible.ts"
import { paneStyle } from "../state/panes.ts"
import type { Compiled } from "../state/plan-state.ts"
import { chosenNode, compiled, planState, version } from "../state/state.ts"
import { whyNoGraph } from "../state/why-no-graph.ts"
import { CodeText } from "../ui/code-text.tsx"
import { EmptyState } from "../ui/empty-state.tsx"
import { Splitter } from "../ui/splitter.tsx"
import { GraphPicture } from "../ui/station-pictures.tsx"

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
      <Splitter pane="detail" label="Width of the node's details" side="right" usual={26} />
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
