import { forwardRef } from "preact/compat"
import { useEffect, useImperativeHandle, useRef, useState } from "preact/hooks"
import type { Graph } from "../../compiler/run/graph.ts"
import { Drawing, type Window } from "./drawing.tsx"
import { kindOf, kindWords, nodeTitle, percent } from "./labels.ts"
import { type Layout, nodeWidth } from "./layout.ts"
import type { Figures } from "./node-figures.ts"
import { type Camera, followPointers, windowOf, within, zoomed } from "./panzoom.ts"
import type { Visible } from "./visible.ts"

/** What is drawn, where it stands, and what of it is to be looked at first; without that the camera stays. */
export interface Picture {
  readonly visible: Visible
  readonly layout: Layout
  readonly bring: number | "whole" | undefined
}

export interface CanvasHandle {
  whole(): void
  zoom(factor: number): void
  show(node: number): void
}

export interface CanvasProps {
  readonly graph: Graph
  readonly figures: Figures
  readonly picture: Picture | undefined
  /** Nodes of the picture that is being laid out; 0 while none is. */
  readonly arranging: number
  readonly lit: ReadonlySet<number>
  readonly found: ReadonlySet<number>
  readonly chosen: number
  readonly onChoose: (node: number, bring: boolean) => void
  readonly onOpen: (node: number) => void
}

/** Beyond the edge of the screen so much is rendered too, so that a drag does not meet white at once. */
const margin = 600
const readable = 0.42

/** Pan and zoom only move one group; nodes are rendered again only when the camera leaves what was rendered. */
export const Canvas = forwardRef<CanvasHandle, CanvasProps>((props, ref) => {
  const { graph, figures, picture, chosen } = props
  const box = useRef<HTMLDivElement>(null)
  const group = useRef<SVGGElement>(null)
  const camera = useRef<Camera>({ x: 24, y: 24, scale: 1 })
  const [drawn, setDrawn] = useState<{ window: Window; words: boolean }>({
    window: { left: 0, top: 0, right: 0, bottom: 0 },
    words: true,
  })
  const drawnNow = useRef(drawn)
  drawnNow.current = drawn

  const move = (next: Camera) => {
    camera.current = next
    group.current?.setAttribute("transform", `translate(${next.x} ${next.y}) scale(${next.scale})`)
    // A picture that has just been taken off the page is still told of its size.
    if (!box.current) return
    const { clientWidth, clientHeight } = box.current
    const words = next.scale >= readable
    const seen = windowOf(next, clientWidth, clientHeight, 0)
    if (words === drawnNow.current.words && within(seen, drawnNow.current.window)) return
    const window = windowOf(next, clientWidth, clientHeight, margin)
    drawnNow.current = { window, words }
    setDrawn(drawnNow.current)
  }
  const whole = () => {
    if (!picture) return
    const { layout } = picture
    const { clientWidth, clientHeight } = box.current!
    const scale = Math.min(1.2, (clientWidth - 48) / layout.width, (clientHeight - 48) / layout.height)
    move({
      scale,
      x: (clientWidth - layout.width * scale) / 2,
      y: (clientHeight - layout.height * scale) / 2,
    })
  }
  const show = (node: number) => {
    const place = picture?.layout.nodes.get(node)
    if (!place) return
    const { clientWidth, clientHeight } = box.current!
    const scale = Math.max(camera.current.scale, 0.9)
    // What follows a node is to its right; before the start there is nothing to see.
    const left = node === graph.start ? 24 + (nodeWidth / 2) * scale : clientWidth * 0.36
    move({ scale, x: left - place.x * scale, y: clientHeight / 2 - place.y * scale })
  }
  useImperativeHandle(ref, () => ({
    whole,
    show,
    zoom: (factor) =>
      move(zoomed(camera.current, factor, box.current!.clientWidth / 2, box.current!.clientHeight / 2)),
  }))

  useEffect(() => {
    if (!picture) return
    const { bring, layout } = picture
    if (bring === undefined) move(camera.current)
    else if (bring !== "whole") show(bring)
    else {
      whole()
      if (camera.current.scale < 0.5) show(layout.nodes.has(chosen) ? chosen : graph.start)
    }
  }, [picture])

  const press = useRef<(event: PointerEvent) => void>(() => {})
  press.current = (event) => {
    const hit = document.elementFromPoint(event.clientX, event.clientY)
    const node = hit?.closest("[data-node]")?.getAttribute("data-node")
    const stub = hit?.closest("[data-stub]")?.getAttribute("data-stub")
    box.current?.focus({ preventScroll: true })
    if (node) props.onChoose(Number(node), false)
    else if (stub) props.onOpen(Number(stub))
  }
  const latestMove = useRef(move)
  latestMove.current = move
  useEffect(
    () =>
      followPointers(
        box.current!,
        () => camera.current,
        (next) => latestMove.current(next),
        (event) => press.current(event),
      ),
    [],
  )
  useEffect(() => {
    const watch = new ResizeObserver(() => latestMove.current(camera.current))
    watch.observe(box.current!)
    return () => watch.disconnect()
  }, [])

  const walk = (event: KeyboardEvent) => {
    const to = stepTo(event.key, graph, figures, chosen)
    if (to !== undefined) props.onChoose(to, true)
    else if (event.key === "+")
      move(zoomed(camera.current, 1.4, box.current!.clientWidth / 2, box.current!.clientHeight / 2))
    else if (event.key === "-")
      move(zoomed(camera.current, 1 / 1.4, box.current!.clientWidth / 2, box.current!.clientHeight / 2))
    else if (event.key === "0") whole()
    else if (event.key === "Enter" && picture?.visible.folds.has(chosen)) props.onOpen(chosen)
    else if (!event.key.startsWith("Arrow")) return
    event.preventDefault()
  }

  const node = graph.nodes[chosen]!
  return (
    <div
      ref={box}
      class="canvas"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the picture is walked with the arrow keys
      tabIndex={0}
      role="application"
      aria-roledescription="decision graph"
      aria-label="Decision graph: arrow keys walk it, plus and minus zoom, Enter unfolds"
      aria-describedby="graph-chosen"
      onKeyDown={walk}
    >
      <svg width="100%" height="100%" aria-hidden="true" focusable="false">
        <g ref={group} class={drawn.words ? "" : "far"}>
          {picture && (
            <Drawing
              graph={graph}
              figures={figures}
              visible={picture.visible}
              layout={picture.layout}
              window={drawn.window}
              words={drawn.words}
              lit={props.lit}
              found={props.found}
              chosen={chosen}
            />
          )}
        </g>
      </svg>
      <p id="graph-chosen" class="unseen" aria-live="polite">
        {`${kindWords[kindOf(graph, node)]}: ${nodeTitle(graph, node)}. ${percent(figures.reach[chosen]!)} of jobs.`}
      </p>
      {props.arranging > 0 && (
        <p class="canvas-busy quiet" role="status">
          Laying out {props.arranging.toLocaleString("en")} nodes…
        </p>
      )}
    </div>
  )
})

/** Right: the likeliest way on; left: back; up and down: the other outcomes of the step before. */
function stepTo(key: string, graph: Graph, figures: Figures, at: number): number | undefined {
  const node = graph.nodes[at]!
  const parent = figures.parent[at]!
  if (key === "Home") return graph.start
  if (key === "ArrowLeft") return parent >= 0 ? parent : undefined
  if (key === "ArrowRight") {
    if (node.do !== "test") return undefined
    return [...node.edges].sort((a, b) => b.chance - a.chance)[0]?.to
  }
  if (key !== "ArrowUp" && key !== "ArrowDown") return undefined
  const before = parent >= 0 ? graph.nodes[parent] : undefined
  if (before?.do !== "test") return undefined
  const others = before.edges.map((edge) => edge.to)
  return others[others.indexOf(at) + (key === "ArrowUp" ? -1 : 1)]
}
