import type { TargetedPointerEvent } from "preact"
import { type Pane, paneWidths, setPane } from "../state/panes.ts"

interface Props {
  readonly pane: Pane
  readonly label: string
  /** The side of what holds both at which the pane is. */
  readonly side: "left" | "right"
  /** In percent, where nobody has set a width. */
  readonly usual: number
}

/** In percent of what holds the panes: none is pushed off the page. */
const LEAST = 18
const MOST = 70
const STEP = 2

const within = (width: number) => Math.min(MOST, Math.max(LEAST, width))

/** The edge of a pane: dragged, or moved by the arrow keys; Home and a double click give the pane its own width again. */
export function Splitter({ pane, label, side, usual }: Props) {
  const width = within(paneWidths.value[pane] ?? usual)
  const drag = ({ currentTarget, clientX, pointerId }: TargetedPointerEvent<HTMLElement>) => {
    const panes = currentTarget.parentElement
    if (!panes || !currentTarget.hasPointerCapture(pointerId)) return
    const { left, right } = panes.getBoundingClientRect()
    const far = side === "right" ? right - clientX : clientX - left
    setPane(pane, within((100 * far) / (right - left)))
  }
  const walk = (event: KeyboardEvent) => {
    const by = event.key === "ArrowLeft" ? -STEP : event.key === "ArrowRight" ? STEP : 0
    if (by !== 0) setPane(pane, within(width + (side === "left" ? by : -by)))
    else if (event.key === "Home") setPane(pane, undefined)
    else return
    event.preventDefault()
  }
  return (
    // biome-ignore lint/a11y/useSemanticElements: a rule between texts can't be moved
    <div
      class="splitter"
      data-pane={pane}
      role="separator"
      tabIndex={0}
      aria-label={label}
      aria-orientation="vertical"
      aria-valuemin={LEAST}
      aria-valuemax={MOST}
      aria-valuenow={Math.round(width)}
      onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
      onPointerMove={drag}
      onDblClick={() => setPane(pane, undefined)}
      onKeyDown={walk}
    />
  )
}
