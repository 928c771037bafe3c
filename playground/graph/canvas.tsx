import type { RefObject } from "preact"
import { forwardRef } from "preact/compat"
import { useCallback, useEffect, useImperativeHandle, useRef, useState } from "preact/hooks"
import type { Graph } from "../../compiler/run/graph.ts"
import { at } from "../../compiler/run/lookup.ts"
import { grouped } from "../../compiler/wording/figures.ts"
import { percent } from "../ui/figures.ts"
import { Drawing, type Viewport } from "./drawing.tsx"
import { isStep, kindText, nodeOf, nodeTitle } from "./labels.ts"
import { type Layout, NODE_WIDTH, type Point } from "./layout.ts"
import { Minimap } from "./minimap.tsx"
import { type NodeFigures, reachOf } from "./node-figures.ts"
import { type Camera, followPointers, windowOf, within, zoomed } from "./panzoom.ts"
import type { Visible } from "./visible.ts"

/** What is drawn, where, and what to look at first; without that the camera stays. */
export interface Picture {
  readonly visible: Visible
  readonly layout: Layout
  readonly focus: number | "whole" | undefined
}

export interface CanvasHandle {
  whole(): void
  zoom(factor: number): void
  show(node: number): void
}

export interface CanvasProps {
  readonly graph: Graph
  readonly figures: NodeFigures
  readonly picture: Picture | undefined
  /** Nodes of the picture that is being laid out; 0 while none is. */
  readonly arranging: number
  readonly lit: ReadonlySet<number>
  /** The way of the job at hand, or of the chosen case. */
  readonly path: ReadonlySet<number>
  /** Where the camera is kept while the picture is off the page. */
  readonly state: { camera: Camera | undefined }
  readonly found: ReadonlySet<number>
  readonly chosen: number
  readonly onChoose: (node: number, bring: boolean) => void
  readonly onOpen: (node: number) => void
}

/** Rendered beyond the edge of the screen, so that a drag does not show white at once. */
const MARGIN = 600
const READABLE = 0.42
/** A picture with fewer nodes is taken in without a map. */
const WORTH_MAP = 12

/** Pan and zoom only move one group; nodes are rendered again only when the camera leaves what was rendered. */
export const Canvas = forwardRef<CanvasHandle, CanvasProps>((props, ref) => {
  const { graph, figures, picture, chosen } = props
  const box = useRef<HTMLDivElement>(null)
  const group = useRef<SVGGElement>(null)
  const frame = useRef<SVGRectElement>(null)
  const { camera, drawn, move } = useCamera(box, group, frame, props.state)
  const whole = () => {
    const element = box.current
    if (picture && element) move(cameraOfWhole(picture.layout, element))
  }
  const show = (node: number) => {
    const place = picture?.layout.nodes.get(node)
    const element = box.current
    if (place && element) move(cameraAt(place, node === graph.start, camera.current.scale, element))
  }
  const zoom = (factor: number) => {
    if (!box.current) return
    const { clientWidth, clientHeight } = box.current
    move(zoomed(camera.current, factor, clientWidth / 2, clientHeight / 2))
  }
  const look = useLook(box, camera, move)
  useImperativeHandle(ref, () => ({ whole, show, zoom }))

  useEffect(() => {
    if (!picture) return
    const { focus, layout } = picture
    if (focus === undefined) move(camera.current)
    else if (focus !== "whole") show(focus)
    else {
      whole()
      if (camera.current.scale < 0.5) show(layout.nodes.has(chosen) ? chosen : graph.start)
    }
  }, [picture])

  const tap = (event: PointerEvent) => {
    const { node, stub } = hitBy(event)
    box.current?.focus({ preventScroll: true })
    if (node) props.onChoose(Number(node), false)
    else if (stub) props.onOpen(Number(stub))
  }
  usePointers(box, camera, move, tap)

  const walk = (event: KeyboardEvent) => {
    const to = stepTo(event.key, graph, figures, chosen)
    if (to !== undefined) props.onChoose(to, true)
    else if (event.key === "+") zoom(1.4)
    else if (event.key === "-") zoom(1 / 1.4)
    else if (event.key === "0") whole()
    else if (event.key === "Enter" && picture?.visible.folds.has(chosen)) props.onOpen(chosen)
    else if (!event.key.startsWith("Arrow")) return
    event.preventDefault()
  }

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
              {...{ graph, figures, chosen }}
              {...drawn}
              visible={picture.visible}
              layout={picture.layout}
              lit={props.lit}
              path={props.path}
              found={props.found}
            />
          )}
        </g>
      </svg>
      {picture && picture.layout.nodes.size >= WORTH_MAP && (
        <Minimap
          layout={picture.layout}
          path={props.path}
          found={props.found}
          chosen={chosen}
          frame={frame}
          onLook={look}
        />
      )}
      <ChosenText graph={graph} figures={figures} chosen={chosen} />
      {props.arranging > 0 && (
        <p class="canvas-busy quiet" role="status">
          Laying out {grouped(props.arranging)} nodes…
        </p>
      )}
    </div>
  )
})

/** For a screen reader, which doesn't see the picture. */
function ChosenText({ graph, figures, chosen }: Pick<CanvasProps, "graph" | "figures" | "chosen">) {
  const node = nodeOf(graph, chosen)
  return (
    <p id="graph-chosen" class="unseen" aria-live="polite">
      {`${kindText(graph, node)}: ${nodeTitle(graph, node)}. ${percent(reachOf(figures, chosen))} of jobs.`}
    </p>
  )
}

function hitBy({ clientX, clientY }: PointerEvent) {
  const hit = document.elementFromPoint(clientX, clientY)
  const of = (name: string) => hit?.closest(`[${name}]`)?.getAttribute(name)
  return { node: of("data-node"), stub: of("data-stub") }
}

/** Brings a point of the drawing into the middle; one function for good, so that the map isn't drawn again. */
function useLook(
  box: RefObject<HTMLDivElement | null>,
  camera: RefObject<Camera>,
  move: (next: Camera) => void,
): (at: Point) => void {
  const latest = useRef(move)
  latest.current = move
  return useCallback(
    (at) => {
      if (box.current) latest.current(cameraOver(at, camera.current.scale, box.current))
    },
    [box, camera],
  )
}

/** The camera, which moves one group, and what of the drawing is rendered around it. */
function useCamera(
  box: RefObject<HTMLDivElement | null>,
  group: RefObject<SVGGElement | null>,
  frame: RefObject<SVGRectElement | null>,
  state: CanvasProps["state"],
) {
  const camera = useRef<Camera>(state.camera ?? { x: 24, y: 24, scale: 1 })
  const [drawn, setDrawn] = useState<{ window: Viewport; words: boolean }>({
    window: { left: 0, top: 0, right: 0, bottom: 0 },
    words: true,
  })
  const drawnNow = useRef(drawn)
  drawnNow.current = drawn

  const move = (next: Camera) => {
    camera.current = next
    if (box.current) state.camera = next
    group.current?.setAttribute("transform", `translate(${next.x} ${next.y}) scale(${next.scale})`)
    // A picture that has just been taken off the page is still told of its size.
    if (!box.current) return
    const { clientWidth, clientHeight } = box.current
    const words = next.scale >= READABLE
    const seen = windowOf(next, clientWidth, clientHeight, 0)
    if (frame.current) showFrame(frame.current, seen)
    if (words === drawnNow.current.words && within(seen, drawnNow.current.window)) return
    const window = windowOf(next, clientWidth, clientHeight, MARGIN)
    drawnNow.current = { window, words }
    setDrawn(drawnNow.current)
  }
  return { camera, drawn, move }
}

function showFrame(frame: SVGRectElement, { left, top, right, bottom }: Viewport): void {
  frame.setAttribute("x", String(left))
  frame.setAttribute("y", String(top))
  frame.setAttribute("width", String(right - left))
  frame.setAttribute("height", String(bottom - top))
}

/** Pointers and changes of size move the camera; the latest `move` and `tap` are the ones called. */
function usePointers(
  box: RefObject<HTMLDivElement | null>,
  camera: RefObject<Camera>,
  move: (next: Camera) => void,
  tap: (event: PointerEvent) => void,
): void {
  const latest = useRef({ move, tap })
  latest.current = { move, tap }
  useEffect(() => {
    const element = box.current
    if (!element) return
    const stop = followPointers(
      element,
      () => camera.current,
      (next) => latest.current.move(next),
      (event) => latest.current.tap(event),
    )
    const watch = new ResizeObserver(() => latest.current.move(camera.current))
    watch.observe(element)
    return () => {
      stop()
      watch.disconnect()
    }
  }, [box, camera])
}

interface Size {
  readonly clientWidth: number
  readonly clientHeight: number
}

/** The camera that shows all of the picture. */
function cameraOfWhole(layout: Layout, { clientWidth, clientHeight }: Size): Camera {
  const scale = Math.min(1.2, (clientWidth - 48) / layout.width, (clientHeight - 48) / layout.height)
  return {
    scale,
    x: (clientWidth - layout.width * scale) / 2,
    y: (clientHeight - layout.height * scale) / 2,
  }
}

/** The camera with a point of the drawing in the middle. */
function cameraOver({ x, y }: Point, scale: number, { clientWidth, clientHeight }: Size): Camera {
  return { scale, x: clientWidth / 2 - x * scale, y: clientHeight / 2 - y * scale }
}

/** The camera that shows one node large enough to read. What follows it is to its right; nothing precedes the start. */
function cameraAt(
  place: Point,
  isStart: boolean,
  scale: number,
  { clientWidth, clientHeight }: Size,
): Camera {
  const near = Math.max(scale, 0.9)
  const left = isStart ? 24 + (NODE_WIDTH / 2) * near : clientWidth * 0.36
  return { scale: near, x: left - place.x * near, y: clientHeight / 2 - place.y * near }
}

/** Right: the likeliest way on; left: back; up and down: the other outcomes of the step before. */
function stepTo(key: string, graph: Graph, figures: NodeFigures, chosen: number): number | undefined {
  const node = nodeOf(graph, chosen)
  const parent = at(figures.parent, chosen)
  if (key === "Home") return graph.start
  if (key === "ArrowLeft") return parent >= 0 ? parent : undefined
  if (key === "ArrowRight") {
    if (!isStep(node)) return undefined
    return [...node.edges].sort((a, b) => b.chance - a.chance).find(({ to }) => to !== undefined)?.to
  }
  if (key !== "ArrowUp" && key !== "ArrowDown") return undefined
  const before = parent >= 0 ? graph.nodes[parent] : undefined
  if (!before || !isStep(before)) return undefined
  const others: readonly number[] = before.edges.flatMap(({ to }) => to ?? [])
  return others[others.indexOf(chosen) + (key === "ArrowUp" ? -1 : 1)]
}
