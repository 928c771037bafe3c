import type { Viewport } from "./drawing.tsx"

/** Of the drawing on one page: an upright A4 sheet at a size at which its words can be read. */
const tile = { width: 1150, height: 1500 }
/** Beyond so many pages nobody glues them together; the picture then goes on fewer, smaller. */
const MOST_PAGES = 24

interface Tiles {
  /** Row by row. */
  readonly pages: readonly Viewport[]
  readonly columns: number
  readonly rows: number
}

/** A drawing of this size cut into pages. */
export function tilesOf({ width, height }: { readonly width: number; readonly height: number }): Tiles {
  const margin = 12
  const [wide, high] = [width + 2 * margin, height + 2 * margin]
  const countAt = (scale: number) =>
    [Math.ceil(wide / (tile.width * scale)), Math.ceil(high / (tile.height * scale))] as const
  let scale = 1
  for (; scale < 100; scale *= 1.1) {
    const [columns, rows] = countAt(scale)
    if (columns * rows <= MOST_PAGES) break
  }
  const [columns, rows] = countAt(scale)
  const pages = Array.from({ length: rows * columns }, (_, i) => {
    const left = (i % columns) * tile.width * scale - margin
    const top = Math.floor(i / columns) * tile.height * scale - margin
    return {
      left,
      top,
      right: Math.min(left + tile.width * scale, width + margin),
      bottom: Math.min(top + tile.height * scale, height + margin),
    }
  })
  return { pages, columns, rows }
}
