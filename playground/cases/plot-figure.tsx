import { useEffect, useRef } from "preact/hooks"
import { endingLabel } from "../../compiler/cases/report/sections.ts"
import { endingSign } from "./case-order.ts"

/** What all plots of cases share: the frame with the figures in words, the endings and their colours, the ways to the cases. */

export const ENDINGS = ["fixed", "comesBack", "handedOver", "open"] as const
export type Ending = (typeof ENDINGS)[number]

const colours: Readonly<Record<Ending, string>> = {
  fixed: "var(--good)",
  comesBack: "var(--bad)",
  handedOver: "var(--warn)",
  open: "var(--edge)",
}

export const endingColours = {
  domain: [...ENDINGS],
  range: ENDINGS.map((ending) => colours[ending]),
  legend: false,
}

export const plotStyle = { background: "none", fontFamily: "inherit", fontSize: "12px" }

interface Props {
  readonly title: string
  /** The figures in words. */
  readonly says: string
  readonly legend?: boolean
  readonly make: (width: number) => Element
}

export function PlotFigure({ title, says, legend = false, make }: Props) {
  const box = useRef<HTMLDivElement>(null)
  useEffect(() => {
    const element = box.current
    if (!element) return
    let width = 0
    const draw = () => {
      if (element.clientWidth === width || element.clientWidth === 0) return
      width = element.clientWidth
      const svg = make(width)
      svg.setAttribute("aria-hidden", "true")
      element.replaceChildren(svg)
    }
    const watch = new ResizeObserver(draw)
    watch.observe(element)
    return () => watch.disconnect()
  }, [make])
  return (
    <figure class="card plot">
      <figcaption>
        <h3>{title}</h3>
        <p class="small quiet">{says}</p>
        {legend && <Legend />}
      </figcaption>
      <div ref={box} />
    </figure>
  )
}

function Legend() {
  return (
    <ul class="legend small">
      {ENDINGS.map((ending) => (
        <li key={ending}>
          <span class="swatch" style={{ background: colours[ending] }} aria-hidden="true">
            {endingSign[ending]}
          </span>{" "}
          {endingLabel[ending]}
        </li>
      ))}
    </ul>
  )
}

/** A press on a bar shows the cases behind it: the plot has as its value what the pointer is nearest to. */
export function leading<T>(plot: Element & { value?: T | null }, show: (behind: T) => void): Element {
  plot.classList.add("leading")
  plot.addEventListener("click", () => {
    if (plot.value) show(plot.value)
  })
  return plot
}

/** How many ticks a scale of whole numbers takes at most, so that none stands at a half. */
export function wholeTicks(most: number): number {
  return Math.max(1, Math.min(5, most))
}
