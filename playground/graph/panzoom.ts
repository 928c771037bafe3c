import type { Viewport } from "./drawing.tsx"

/** Where the drawing stands on the screen: screen = drawing × scale + (x, y). */
export interface Camera {
  readonly x: number
  readonly y: number
  readonly scale: number
}

const LEAST_SCALE = 0.02
const MOST_SCALE = 2.5

export function windowOf(camera: Camera, width: number, height: number, margin: number): Viewport {
  const { x, y, scale } = camera
  return {
    left: (-x - margin) / scale,
    top: (-y - margin) / scale,
    right: (width - x + margin) / scale,
    bottom: (height - y + margin) / scale,
  }
}

export function within(inner: Viewport, outer: Viewport): boolean {
  return (
    inner.left >= outer.left &&
    inner.right <= outer.right &&
    inner.top >= outer.top &&
    inner.bottom <= outer.bottom
  )
}

/** Zooms so that the point of the drawing under (px, py) stays there. */
export function zoomed(camera: Camera, factor: number, px: number, py: number): Camera {
  const scale = Math.min(MOST_SCALE, Math.max(LEAST_SCALE, camera.scale * factor))
  const by = scale / camera.scale
  return { scale, x: px - (px - camera.x) * by, y: py - (py - camera.y) * by }
}

/** Calls `move` with the new camera for drags, pinches and the wheel; `tap` for a press without a drag. */
export function followPointers(
  element: HTMLElement,
  camera: () => Camera,
  move: (next: Camera) => void,
  tap: (event: PointerEvent) => void,
): () => void {
  const pointers = new Map<number, PointerEvent>()
  let travelled = 0
  const local = (event: PointerEvent | WheelEvent) => {
    const box = element.getBoundingClientRect()
    return { x: event.clientX - box.left, y: event.clientY - box.top }
  }
  const down = (event: PointerEvent) => {
    if (event.button !== 0) return
    element.setPointerCapture(event.pointerId)
    if (pointers.size === 0) travelled = 0
    pointers.set(event.pointerId, event)
  }
  const moved = (event: PointerEvent) => {
    const before = pointers.get(event.pointerId)
    if (!before) return
    pointers.set(event.pointerId, event)
    const dx = event.clientX - before.clientX
    const dy = event.clientY - before.clientY
    travelled += Math.abs(dx) + Math.abs(dy)
    const now = camera()
    const other = [...pointers.values()].find((pointer) => pointer.pointerId !== event.pointerId)
    if (!other) return move({ ...now, x: now.x + dx, y: now.y + dy })
    const distance = (a: PointerEvent, b: PointerEvent) =>
      Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY) || 1
    const { x, y } = local(other)
    move(zoomed(now, distance(event, other) / distance(before, other), x, y))
  }
  const up = (event: PointerEvent) => {
    if (!pointers.delete(event.pointerId)) return
    if (event.type === "pointerup" && travelled < 6) tap(event)
  }
  const wheel = (event: WheelEvent) => {
    event.preventDefault()
    const { x, y } = local(event)
    const step = event.deltaMode === 1 ? event.deltaY * 18 : event.deltaY
    move(zoomed(camera(), Math.exp(-step / 420), x, y))
  }
  element.addEventListener("pointerdown", down)
  element.addEventListener("pointermove", moved)
  element.addEventListener("pointerup", up)
  element.addEventListener("pointercancel", up)
  element.addEventListener("wheel", wheel, { passive: false })
  return () => {
    element.removeEventListener("pointerdown", down)
    element.removeEventListener("pointermove", moved)
    element.removeEventListener("pointerup", up)
    element.removeEventListener("pointercancel", up)
    element.removeEventListener("wheel", wheel)
  }
}
