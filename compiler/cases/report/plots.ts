/** The plots of a report's page, as SVG. Three shapes that a charting library would take a hundred times the code for. */

import { fixedPercent } from "../../wording/figures.ts"
import type { Calibration } from "../stats/brier.ts"
import type { Share } from "../stats/wilson.ts"
import { escaped } from "./escape-html.ts"

export type Tone = "good" | "bad" | "wait" | "part"

export interface Bar {
  readonly label: string
  readonly share: Share
  readonly tone: Tone
}

const width = 760
const left = 210
const right = 190
const row = 26

const at = (n: number) => Number(n.toFixed(1))

function svg(height: number, title: string, body: string, wide = width): string {
  return `<svg viewBox="0 0 ${wide} ${height}" width="${wide}" role="img" aria-label="${escaped(title)}"><title>${escaped(title)}</title>\n${body}\n</svg>`
}

/** A bar per share, with its interval as a line, count and share beside it. */
export function bars(all: readonly Bar[]): string {
  const room = width - left - right
  const body = all.map(({ label, share, tone }, i) => {
    const y = i * row
    const [x0, x1] = [left + share.low * room, left + share.high * room]
    const middle = y + row / 2
    return [
      `<text x="${left - 10}" y="${middle + 4}" text-anchor="end">${escaped(label)}</text>`,
      `<rect class="${tone}" x="${left}" y="${y + 5}" width="${at(share.share * room)}" height="${row - 10}"/>`,
      share.of > 0 ? `<line class="reach" x1="${at(x0)}" x2="${at(x1)}" y1="${middle}" y2="${middle}"/>` : "",
      `<text class="dim" x="${width - right + 14}" y="${middle + 4}">${share.count} of ${share.of}${share.of > 0 ? `, ${fixedPercent(share.share)}` : ""}</text>`,
    ].join("")
  })
  const axis = `<line class="axis" x1="${left}" x2="${left}" y1="0" y2="${all.length * row}"/>`
  const says = all.map(({ label, share }) => `${label} ${share.count} of ${share.of}`).join(", ")
  return svg(all.length * row + 4, says, `${axis}${body.join("\n")}`)
}

export interface Stack {
  readonly label: string
  readonly of: number
  readonly parts: readonly { readonly count: number; readonly tone: Tone }[]
}

/** A bar per row, in parts, all on one scale of counts. */
export function stacks(all: readonly Stack[]): string {
  const largest = Math.max(1, ...all.map(({ of }) => of))
  const room = width - left - right
  const body = all.map(({ label, of, parts }, i) => {
    const y = i * row
    let x = left
    const rects = parts.map(({ count, tone }) => {
      const wide = (count / largest) * room
      const rect = `<rect class="${tone}" x="${at(x)}" y="${y + 5}" width="${at(wide)}" height="${row - 10}"/>`
      x += wide
      return count > 0 ? rect : ""
    })
    const counts = parts.map(({ count }) => count).join(", ")
    return `<text x="${left - 10}" y="${y + row / 2 + 4}" text-anchor="end">${escaped(label)}</text>${rects.join("")}<text class="dim" x="${at(x + 8)}" y="${y + row / 2 + 4}">${of}<title>${counts}</title></text>`
  })
  return svg(all.length * row + 4, "Endings by confirmed fault", body.join("\n"))
}

/** Chance said against share held, with intervals; on the diagonal both agree. */
export function reliabilityPlot({ bins }: Calibration): string {
  const side = 300
  const [x0, y0] = [60, 16]
  const x = (chance: number) => at(x0 + chance * side)
  const y = (share: number) => at(y0 + (1 - share) * side)
  const ticks = [0, 0.25, 0.5, 0.75, 1].flatMap((tick) => [
    `<line class="axis" x1="${x(0)}" x2="${x(1)}" y1="${y(tick)}" y2="${y(tick)}"/>`,
    `<text class="dim" x="${x0 - 8}" y="${y(tick) + 4}" text-anchor="end">${fixedPercent(tick, 0)}</text>`,
    `<text class="dim" x="${x(tick)}" y="${y0 + side + 18}" text-anchor="middle">${fixedPercent(tick, 0)}</text>`,
  ])
  const most = Math.max(...bins.map(({ held }) => held.of))
  const points = bins.map(
    ({ said, held }) =>
      `<line class="reach" x1="${x(said)}" x2="${x(said)}" y1="${y(held.low)}" y2="${y(held.high)}"/><circle class="good" cx="${x(said)}" cy="${y(held.share)}" r="${at(4 + 5 * Math.sqrt(held.of / most))}"><title>said ${fixedPercent(said)}, held ${held.count} of ${held.of}</title></circle>`,
  )
  const diagonal = `<line class="axis" x1="${x(0)}" y1="${y(0)}" x2="${x(1)}" y2="${y(1)}" stroke-dasharray="4 4"/>`
  const names = `<text class="dim" x="${x(0.5)}" y="${y0 + side + 38}" text-anchor="middle">chance said</text><text class="dim" x="16" y="${y(0.5)}" text-anchor="middle" transform="rotate(-90 16 ${y(0.5)})">held</text>`
  const says = bins
    .map(({ said, held }) => `said ${fixedPercent(said)}, held ${held.count} of ${held.of}`)
    .join("; ")
  return svg(y0 + side + 46, says, [...ticks, diagonal, ...points, names].join("\n"), 400)
}
