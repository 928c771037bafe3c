import { signal } from "@preact/signals"

/** How wide the panes are that somebody has set, in percent of what holds them; kept over a reload. */
export type Pane = "beside" | "beside-graph" | "outline" | "detail"

type Widths = Readonly<Partial<Record<Pane, number>>>

const PLACE = "ruleout.panes"

export const paneWidths = signal<Widths>(storedWidths())

/** What is stored may have been changed by hand: what isn't a width is left out. */
function storedWidths(): Widths {
  try {
    const stored: unknown = JSON.parse(localStorage.getItem(PLACE) ?? "{}")
    return Object.fromEntries(Object.entries(Object(stored)).filter(([, width]) => Number.isFinite(width)))
  } catch {
    return {}
  }
}

/** Without a width the pane has its own again. */
export function setPane(pane: Pane, width: number | undefined): void {
  const { [pane]: _, ...others } = paneWidths.value
  paneWidths.value = width === undefined ? others : { ...others, [pane]: width }
  try {
    localStorage.setItem(PLACE, JSON.stringify(paneWidths.value))
  } catch {
    // A browser that keeps nothing still has panes.
  }
}

/** For what holds the panes: its columns go by these. */
export function paneStyle(...panes: readonly Pane[]): Record<string, string> {
  return Object.fromEntries(
    panes.flatMap((pane) => {
      const width = paneWidths.value[pane]
      return width === undefined ? [] : [[`--${pane}`, `${width}%`]]
    }),
  )
}
