import type { RefObject } from "preact"
import { memo } from "preact/compat"
import { type Layout, NODE_HEIGHT, NODE_WIDTH, type Point } from "./layout.ts"

interface Props {
  readonly layout: Layout
  readonly path: ReadonlySet<number>
  readonly found: ReadonlySet<number>
  readonly chosen: number
  /** What the window shows; moved by the camera, without drawing anything again. */
  readonly frame: RefObject<SVGRectElement | null>
  /** Looks at a point of the drawing. */
  readonly onLook: (at: Point) => void
}

/** The whole picture, small: where the window is, and the way to somewhere else. The keys of the picture do the same. */
export const Minimap = memo(({ layout, path, found, chosen, frame, onLook }: Props) => {
  const { width, height } = layout
  const look = (event: PointerEvent) => {
    const box = (event.currentTarget as Element).getBoundingClientRect()
    const scale = Math.max(width / box.width, height / box.height)
    onLook({
      x: width / 2 + (event.clientX - box.left - box.width / 2) * scale,
      y: height / 2 + (event.clientY - box.top - box.height / 2) * scale,
    })
  }
  const classOf = (at: number) =>
    at === chosen ? "chosen" : path.has(at) ? "path" : found.has(at) ? "found" : undefined
  return (
    <svg
      class="minimap"
      viewBox={`0 0 ${width} ${height}`}
      aria-hidden="true"
      onPointerDown={(event) => {
        event.stopPropagation()
        event.currentTarget.setPointerCapture(event.pointerId)
        look(event)
      }}
      onPointerMove={(event) => {
        event.stopPropagation()
        if (event.buttons === 1) look(event)
      }}
      onPointerUp={(event) => event.stopPropagation()}
    >
      {[...layout.nodes].map(([at, { x, y }]) => (
        <rect
          key={at}
          class={classOf(at)}
          x={x - NODE_WIDTH / 2}
          y={y - NODE_HEIGHT / 2}
          width={NODE_WIDTH}
          height={NODE_HEIGHT}
        />
      ))}
      <rect ref={frame} class="frame" />
    </svg>
  )
})
