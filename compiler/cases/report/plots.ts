/** The plots of a report's page, as SVG. Three shapes that a charting library would take a hundred times the code for. */

import { fixedPercent } from "../../wording/figures.ts"
import { escaped } from "./escape-html.ts"
import { endingTone, type Figure, figureText } from "./sections.ts"

const WIDTH = 760
const LEFT = 210
const RIGHT = 190
const ROW = 26

const at = (n: number) => Number(n.toFixed(1))

function svg(height: number, title: string, body: string, wide = WIDTH): string {
  return `<svg viewBox="0 0 ${wide} ${height}" width="${wide}" role="img" aria-label="${escaped(title)}"><title>${escaped(title)}</title>\n${body}\n</svg>`
}

/** A bar per share, with its interval as a line, count and share beside it. */
export function sharesPlot(figure: Extract<Figure, { kind: "shares" }>): string {
  const all = figure.rows
  const room = WIDTH - LEFT - RIGHT
  const body = all.map(({ label, share, tone }, i) => {
    const y = i * ROW
    const [x0, x1] = [LEFT + share.low * room, LEFT + share.high * room]
    const middle = y + ROW / 2
    return [
      `<text x="${LEFT - 10}" y="${middle + 4}" text-anchor="end">${escaped(label)}</text>`,
      `<rect class="${tone}" x="${LEFT}" y="${y + 5}" width="${at(share.share * room)}" height="${ROW - 10}"/>`,
      share.of > 0 ? `<line class="reach" x1="${at(x0)}" x2="${at(x1)}" y1="${middle}" y2="${middle}"/>` : "",
      `<text class="dim" x="${WIDTH - RIGHT + 14}" y="${middle + 4}">${share.count} of ${share.of}${share.of > 0 ? `, ${fixedPercent(share.share)}` : ""}</text>`,
    ].join("")
  })
  const axis = `<line class="axis" x1="${LEFT}" x2="${LEFT}" y1="0" y2="${all.length * ROW}"/>`
  return svg(all.length * ROW + 4, figureText(figure), `${axis}${body.join("\n")}`)
}

const ENDINGS = ["fixed", "comesBack", "handedOver", "open"] as const

/** A bar per fault, in parts by how its cases ended, all on one scale of counts. */
export function endingsPlot(figure: Extract<Figure, { kind: "endings" }>): string {
  const largest = Math.max(1, ...figure.rows.map(({ cases }) => cases))
  const room = WIDTH - LEFT - RIGHT
  const body = figure.rows.map((fault, i) => {
    const y = i * ROW
    let x = LEFT
    const rects = ENDINGS.map((ending) => {
      const wide = (fault[ending] / largest) * room
      const rect = `<rect class="${endingTone[ending]}" x="${at(x)}" y="${y + 5}" width="${at(wide)}" height="${ROW - 10}"/>`
      x += wide
      return fault[ending] > 0 ? rect : ""
    })
    return `<text x="${LEFT - 10}" y="${y + ROW / 2 + 4}" text-anchor="end">${escaped(fault.name)}</text>${rects.join("")}<text class="dim" x="${at(x + 8)}" y="${y + ROW / 2 + 4}">${fault.cases}</text>`
  })
  return svg(figure.rows.length * ROW + 4, figureText(figure), body.join("\n"))
}

/** Chance said against share held, with intervals; on the diagonal both agree. */
export function reliabilityPlot(figure: Extract<Figure, { kind: "reliability" }>): string {
  const { bins } = figure.calibration
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
  return svg(y0 + side + 46, figureText(figure), [...ticks, diagonal, ...points, names].join("\n"), 400)
}
