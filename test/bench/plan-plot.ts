/** One row of the comparison: means over the models of one size, in proportion to the plan. */
export interface Row {
  readonly size: string
  readonly name: string
  readonly ratio: number
}

const WIDTH = 760
const LABEL = 260
const LINE = 22

/** Bars of mean cost, the plan's being 1; longer than `most` are cut and say so. */
export function plot(rows: readonly Row[], most = 4): string {
  const scale = (WIDTH - LABEL - 70) / most
  const lines: string[] = []
  let y = 30
  let size = ""
  for (const row of rows) {
    if (row.size !== size) {
      size = row.size
      y += 14
      lines.push(`<text x="8" y="${y}" font-weight="bold">${size}</text>`)
      y += LINE
    }
    const width = Math.min(row.ratio, most) * scale
    lines.push(
      `<text x="${LABEL - 8}" y="${y}" text-anchor="end">${row.name}</text>`,
      `<rect x="${LABEL}" y="${y - 11}" width="${width.toFixed(1)}" height="14" fill="${row.ratio < 1 ? "#2f7d4f" : "#5b7285"}"/>`,
      `<text x="${(LABEL + width + 6).toFixed(1)}" y="${y}">${row.ratio.toFixed(3)}${row.ratio > most ? " …" : ""}</text>`,
    )
    y += LINE
  }
  const at = LABEL + scale
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${y + 16}" font-family="system-ui, sans-serif" font-size="13" role="img">
<title>Expected total of each rule, in proportion to the plan</title>
<text x="8" y="20">Mean expected total, the plan's being 1 (less is better)</text>
<line x1="${at}" x2="${at}" y1="30" y2="${y}" stroke="#b03a2e" stroke-dasharray="4 3"/>
${lines.join("\n")}
</svg>
`
}
