import { sha256 } from "@noble/hashes/sha2.js"
import { utf8ToBytes } from "@noble/hashes/utils.js"
import { languagesOf } from "../graph/in-language.ts"
import { graphText } from "../graph/text.ts"
import type { Graph } from "../run/graph.ts"
import { pageTexts } from "../wording/catalogues.ts"
import { markup, scriptData } from "./escaping.ts"
import { type PictureBytes, pictureAddresses } from "./pictures.ts"
import { ShipError } from "./ship-error.ts"

/** The bench page bundled without imports. `playground/page/` makes it; the caller passes it in. */
export interface PageParts {
  readonly script: string
  readonly style: string
}

/**
 * One HTML file: the bench view with the graph in it, for a technician without the editor and without a network. Its
 * Content-Security-Policy allows only the one script and style whose digests it names, and loads nothing; the graph is
 * a block of data whose text can't end the block, and so are its pictures. The same graph and parts give the same bytes.
 *
 * @throws ShipError where the graph has pictures, and nobody gives their bytes
 */
export function writePage(graph: Graph, { script, style }: PageParts, pictureBytes?: PictureBytes): string {
  const code = script.replace(/<\/(script)/gi, "<\\/$1").replaceAll("<!--", "<\\!--")
  const policy = [
    "default-src 'none'",
    `script-src '${digest(code)}'`,
    `style-src '${digest(style)}'`,
    ...(graph.pictures ? ["img-src data:"] : []),
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ")
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${markup(graph.ruleset.title)}</title>
<style>${style}</style>
</head>
<body>
<div id="page"></div>
<noscript>This page needs JavaScript. It loads nothing and sends nothing.</noscript>
<script type="application/json" id="graph">${scriptData(graphText(graph))}</script>
${textsBlock(graph)}${picturesBlock(graph, pictureBytes)}<script>${code}</script>
</body>
</html>
`
}

/** The tool's own words in the languages of the graph; English is in the script. */
function textsBlock(graph: Graph): string {
  const texts = languagesOf(graph).flatMap((language) => {
    const own = pageTexts(language)
    return own ? [[language, own]] : []
  })
  if (texts.length === 0) return ""
  return `<script type="application/json" id="texts">${scriptData(JSON.stringify(Object.fromEntries(texts)))}</script>\n`
}

function picturesBlock(graph: Graph, pictureBytes: PictureBytes | undefined): string {
  if (!graph.pictures) return ""
  if (!pictureBytes) throw new ShipError("The pictures of the graph aren't at hand.")
  const addresses = JSON.stringify(pictureAddresses(graph, pictureBytes))
  return `<script type="application/json" id="pictures">${scriptData(addresses)}</script>\n`
}

/** As CSP Level 3 wants it: base64 of the SHA-256 of the text between the tags. */
function digest(content: string): string {
  return `sha256-${btoa(String.fromCharCode(...sha256(utf8ToBytes(content))))}`
}
