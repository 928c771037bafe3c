import { flushSync } from "preact/compat"
import { useEffect, useState } from "preact/hooks"
import { Drawing, type DrawingProps } from "./drawing.tsx"
import { tilesOf } from "./tiles.ts"

/** True while the page is being printed. */
export function useIsPrinting(): boolean {
  const [isPrinting, print] = useState(false)
  useEffect(() => {
    const media = matchMedia("print")
    // At once: what is drawn after the browser has laid the pages out isn't on them.
    const follow = () => flushSync(() => print(media.matches))
    const begin = () => flushSync(() => print(true))
    media.addEventListener("change", follow)
    addEventListener("beforeprint", begin)
    addEventListener("afterprint", follow)
    return () => {
      media.removeEventListener("change", follow)
      removeEventListener("beforeprint", begin)
      removeEventListener("afterprint", follow)
    }
  }, [])
  return isPrinting
}

interface Props extends Pick<DrawingProps, "graph" | "figures" | "path"> {
  readonly picture: Pick<DrawingProps, "visible" | "layout">
}

const NO_NODES: ReadonlySet<number> = new Set()

/** The whole picture on as many pages as it takes, row by row, each with its place among them. */
export function PrintedPicture({ graph, figures, picture, path }: Props) {
  const { title, version } = graph.ruleset
  const { pages, columns, rows } = tilesOf(picture.layout)
  const drawn = { graph, figures, ...picture, path, lit: NO_NODES, found: NO_NODES, chosen: undefined }
  return (
    <div class="printed">
      {pages.map((window, i) => (
        <figure key={i}>
          <figcaption class="small">
            {title} {version}
            {pages.length > 1 &&
              `, row ${Math.floor(i / columns) + 1} of ${rows}, column ${(i % columns) + 1} of ${columns}`}
          </figcaption>
          <svg
            viewBox={`${window.left} ${window.top} ${window.right - window.left} ${window.bottom - window.top}`}
            aria-hidden="true"
          >
            <Drawing {...drawn} window={window} words />
          </svg>
        </figure>
      ))}
    </div>
  )
}
