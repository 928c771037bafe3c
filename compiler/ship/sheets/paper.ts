import type { Words } from "../../wording/words.ts"
import { markup } from "../escaping.ts"

export const PAPERS = ["a4", "letter"] as const
export type Paper = (typeof PAPERS)[number]

/** A page of HTML for the printer: nothing is loaded, nothing runs. */
export function paperPage(
  title: string,
  paper: Paper,
  { language, direction }: Words,
  body: readonly string[],
): string {
  return `<!doctype html>
<html lang="${markup(language)}"${direction === "rtl" ? ' dir="rtl"' : ""}>
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${markup(title)}</title>
<style>@page { size: ${paper === "a4" ? "A4" : "letter"}; margin: 16mm 16mm 18mm }${STYLE}</style>
</head>
<body>
${body.join("\n")}
</body>
</html>
`
}

const STYLE = `
body { margin: 0 auto; max-width: 178mm; color: #000; background: #fff; font: 10.5pt/1.4 system-ui, sans-serif }
h1 { font-size: 16pt; margin: 0 0 1mm } h2 { font-size: 11.5pt; margin: 6mm 0 1.5mm; break-after: avoid }
p { margin: 0 0 2mm } .small { font-size: 9pt; color: #333 } .caution { border-inline-start: 1mm solid #000; padding-inline-start: 2.5mm; font-weight: 600 }
table { border-collapse: collapse; width: 100% } th { text-align: start; font-size: 9pt; font-weight: 600 }
th, td { border-bottom: .2mm solid #777; padding: 1.2mm 0; padding-inline-end: 2.5mm; vertical-align: top } tr { break-inside: avoid }
.n { text-align: end; white-space: nowrap; font-variant-numeric: tabular-nums } .box { display: inline-block; width: 3.4mm; height: 3.4mm; border: .3mm solid #000; margin: 0 0 -.4mm; margin-inline-end: 1.2mm }
.line { border-bottom: .2mm solid #000; height: 8mm } .blank { display: inline-block; min-width: 40mm; border-bottom: .2mm solid #000 }
ul, ol { margin: 0 0 2mm; padding-inline-start: 6mm }`

export const heading = (text: string) => `<h2>${markup(text)}</h2>`
export const paragraph = (text: string, kind = "") => `<p${kind && ` class="${kind}"`}>${markup(text)}</p>`

/** A list of what is done or found; nothing where there is none. */
export const list = (items: readonly string[], kind: "ol" | "ul" = "ul") =>
  items.length === 0 ? "" : `<${kind}>${items.map((item) => `<li>${markup(item)}</li>`).join("")}</${kind}>`

/** A table; `figures`: columns that are set to the right. An empty cell is left to be filled in by hand. */
export function table(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  figures: readonly number[] = [],
): string {
  const cell = (tag: string) => (text: string, i: number) =>
    `<${tag}${figures.includes(i) ? ' class="n"' : ""}>${markup(text)}</${tag}>`
  const lines = rows.map((row) => `<tr>${row.map(cell("td")).join("")}</tr>`).join("\n")
  return `<table><thead><tr>${head.map(cell("th")).join("")}</tr></thead><tbody>\n${lines}\n</tbody></table>`
}

/** Something to be written in by hand, after what it is. */
export const field = (what: string, value = "") =>
  `<p>${markup(what)}: ${value === "" ? '<span class="blank">&nbsp;</span>' : `<b>${markup(value)}</b>`}</p>`

/** A question with a box before each answer. */
export const choice = (question: string, answers: readonly string[]) =>
  `<p>${markup(question)}<br>${answers.map((each) => `<span class="box"></span>${markup(each)}`).join(" &emsp; ")}</p>`

/** Empty lines to write on. */
export const lines = (count: number) => '<div class="line"></div>'.repeat(count)
