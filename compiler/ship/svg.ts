import type { Graph } from "../run/graph.ts"
import { at } from "../run/lookup.ts"
import * as m from "../wording/compiled/card.ts"
import * as common from "../wording/compiled/common.ts"
import { english, type Words } from "../wording/words.ts"
import { type DrawingOptions, drawingOf } from "./drawing.ts"
import { markup, oneLine, short, wrapped } from "./escaping.ts"
import { type Placed, placed } from "./layout.ts"

/** In CSS pixels; letters are assumed as wide as they are in common sans-serif fonts, on average. */
const box = { width: 216, height: 50, letters: 30 }
const gap = { across: 132, down: 14, letters: 20 }
const MARGIN = 24
const HEAD = 64

const STYLE = `
.ground { fill: #fff }
text { font: 12px system-ui, sans-serif; fill: #1b2430 }
.title { font-size: 18px; font-weight: 600 }
.quiet { fill: #55606e; font-size: 11px }
.box { fill: #fff; stroke: #55606e }
.told .box { stroke-dasharray: 4 3 }
.swaps .box, .putBack .box, .takeOut .box { stroke: #8a4b00; stroke-width: 1.6 }
.redoes .box, .removes .box { stroke: #0b5f8a; stroke-width: 1.6 }
.keep .box, .replace .box, .fix .box { fill: #eaf1fb; stroke: #2b4c9b; stroke-width: 1.6 }
.close .box { fill: #e3f4e7; stroke: #1d6b34 }
.handover .box { fill: #fdeceb; stroke: #a3271d }
.again .box, .advise .box, .folded .box, .end .box { fill: none; stroke: none }
.way { fill: none; stroke: #8791a0 }
@media (prefers-color-scheme: dark) {
  text { fill: #e8ecf1 }
  .quiet { fill: #a5afbd }
  .ground { fill: #141a22 }
  .box { fill: #1e2631; stroke: #a5afbd }
  .swaps .box, .putBack .box, .takeOut .box { stroke: #f0a44a }
  .redoes .box, .removes .box { stroke: #62b8e8 }
  .keep .box, .replace .box, .fix .box { fill: #1b2740; stroke: #8fb0f0 }
  .close .box { fill: #16311f; stroke: #6fca89 }
  .handover .box { fill: #3a1a18; stroke: #f08a80 }
}
`

/**
 * The graph as a picture (SVG 1.1 with CSS): a tree from left to right whose top row is the way that most jobs go. A step
 * that several ways lead to is drawn once, on the likeliest; the others end in its number. Loads nothing and runs nothing.
 */
export function writeSvg(graph: Graph, { least = 0.002, words = english }: DrawingOptions = {}): string {
  const drawing = drawingOf(graph, { least, words })
  const { items, columns, rows } = placed(drawing)
  const width = 2 * MARGIN + columns * (box.width + gap.across) - gap.across
  const height = HEAD + MARGIN + rows * (box.height + gap.down)
  const { title, version } = graph.ruleset
  const about = [
    words.say(m.cardAbout, { version, complaint: graph.complaint.text }),
    ...(drawing.folded === 0
      ? []
      : [words.say(m.cardPictureCoverage, { share: words.percent(drawing.covered), n: drawing.folded })]),
  ].join("; ")
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" aria-labelledby="title about">
<title id="title">${markup(title)}</title>
<desc id="about">${markup(about)}</desc>
<style>${STYLE}</style>
<rect class="ground" width="${width}" height="${height}"/>
<text class="title" x="${MARGIN}" y="30">${clipped(title, 90)}</text>
<text class="quiet" x="${MARGIN}" y="48">${clipped(about, 180)}</text>
${items.map((item) => wayLine(item, words)).join("")}${items.map((item) => itemBox(item, words)).join("")}</svg>
`
}

const left = (column: number) => MARGIN + column * (box.width + gap.across)
const middle = (row: number) => HEAD + row * (box.height + gap.down) + box.height / 2

function clipped(text: string, letters: number): string {
  return markup(short(oneLine(text), letters))
}

function wayLine({ column, row, from, way }: Placed, words: Words): string {
  if (from === undefined || way === undefined) return ""
  const [x, y] = [left(column), middle(row)]
  const start = left(from.column) + box.width
  const turn = start + 14
  const path =
    from.row === row ? `M${start} ${y}H${x}` : `M${start} ${middle(from.row)}H${turn}V${y - 8}q0 8 8 8H${x}`
  const share = words.percent(way.chance)
  const thick = (0.8 + 3.2 * way.chance).toFixed(2)
  return `<g><title>${markup(oneLine(`${way.label} (${share})`))}</title><path class="way" stroke-width="${thick}" d="${path}"/><text class="quiet" x="${turn + 8}" y="${y - 5}">${clipped(way.label, gap.letters)}</text><text class="quiet" x="${turn + 8}" y="${y + 13}">${markup(share)}</text></g>
`
}

function itemBox({ column, row, number, step, again, way }: Placed, words: Words): string {
  const [x, y] = [left(column), middle(row)]
  if (step === undefined) {
    const [kind, note] =
      again !== undefined
        ? ["again", words.say(m.cardGoOnAt, { n: again })]
        : way?.to === "end"
          ? ["end", words.say(m.cardEnd)]
          : ["folded", words.say(m.cardLeftOut)]
    return `<g class="${kind}"><text class="quiet" x="${x + 8}" y="${y + 4}">${markup(note)}</text></g>
`
  }
  const tip = [
    step.title,
    step.facts.join(", "),
    ...step.remedies,
    step.disturbs.length === 0 ? "" : words.say(m.cardDisturbsShort, { what: words.listed(step.disturbs) }),
    ...step.cautions.map((each) => words.say(common.caution, { what: each })),
  ]
  const lines = wrapped(oneLine(number === undefined ? step.title : `${number}  ${step.title}`), box.letters)
  const shown = lines.length > 2 ? [at(lines, 0), short(lines.slice(1).join(" "), box.letters)] : lines
  const facts = `${step.cautions.length === 0 ? "" : "⚠ "}${step.facts.join(", ")}`
  const texts = [
    ...shown.map((line) => `<tspan x="${x + 10}" dy="14">${clipped(line, box.letters + 4)}</tspan>`),
    ...(facts === ""
      ? []
      : [`<tspan class="quiet" x="${x + 10}" dy="14">${clipped(facts, box.letters + 4)}</tspan>`]),
  ]
  const top = y - (texts.length * 14) / 2 - 3
  return `<g class="${step.kind}"><title>${markup(oneLine(tip.filter(Boolean).join(". ")))}</title><rect class="box" x="${x}" y="${y - box.height / 2}" width="${box.width}" height="${box.height}" rx="6"/><text x="${x + 10}" y="${top.toFixed(1)}">${texts.join("")}</text></g>
`
}
