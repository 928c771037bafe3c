import type { Graph } from "../run/graph.ts"
import type { ActionKind } from "../wording/actions.ts"
import * as m from "../wording/compiled/card.ts"
import { english, type Words } from "../wording/words.ts"
import { type Drawing, type DrawingOptions, drawingOf } from "./drawing.ts"
import { oneLine, short } from "./escaping.ts"

const shapes: Readonly<Record<ActionKind, readonly [string, string]>> = {
  reads: ["[", "]"],
  told: ["[/", "/]"],
  swaps: ["[[", "]]"],
  redoes: ["[", "]"],
  removes: ["[", "]"],
  takeOut: ["[[", "]]"],
  putBack: ["[[", "]]"],
  keep: ["[/", "\\]"],
  replace: ["[/", "\\]"],
  fix: ["[/", "\\]"],
  look: ["([", "])"],
  close: ["([", "])"],
  handover: ["{{", "}}"],
  advise: ["(", ")"],
}

/** Mermaid draws no more by default (`maxTextSize` and `maxEdges` in its configuration). */
const MOST_CHARACTERS = 50_000
const MOST_EDGES = 500

/**
 * The graph as a Mermaid flowchart, for pages that draw such blocks of code. If it is larger than they accept, the
 * branches that fewest jobs get to are left out until it fits; the first comment says so.
 */
export function writeMermaid(graph: Graph, { least = 0, words = english }: DrawingOptions = {}): string {
  for (let share = least; ; share = Math.max(share * 1.5, 0.0005)) {
    const drawing = drawingOf(graph, { least: share, words })
    const text = flowchart(drawing, words)
    const edges = drawing.steps.reduce((sum, { ways }) => sum + ways.length, 0)
    if ((text.length < MOST_CHARACTERS && edges < MOST_EDGES) || drawing.steps.length === 1) return text
  }
}

function flowchart({ steps, folded, covered }: Drawing, words: Words): string {
  const said =
    folded === 0
      ? []
      : [`%% ${words.say(m.cardDrawingCoverage, { share: words.percent(covered), n: folded })}`]
  return [
    ...said,
    "flowchart TD",
    ...steps.flatMap(({ node, kind, title, facts, ways }) => {
      const [open, close] = shapes[kind]
      const label = [title, ...facts].map(escaped).join("<br>")
      return [
        `  n${node}${open}"${label}"${close}`,
        ...ways
          .filter(({ to }) => to !== undefined)
          .map(
            ({ to, label, chance }) =>
              `  n${node} -->|"${escaped(label)}<br>${escaped(words.percent(chance))}"| ${to === "end" ? "done" : `n${to}`}`,
          ),
      ]
    }),
    ...(steps.some(({ ways }) => ways.some(({ to }) => to === "end"))
      ? [`  done(("${escaped(words.say(m.cardEndNode))}"))`]
      : []),
    "",
  ].join("\n")
}

/**
 * Everything but letters, digits and harmless punctuation is escaped by number. `$$` would begin a formula and `\n` would
 * break the line even so, since Mermaid looks for these last: their characters are kept apart.
 */
function escaped(text: string): string {
  const apart = oneLine(text)
    .replace(/\$(?=\$)/g, "$ ")
    .replace(/\\(?=n)/g, "\\\u2060")
  return short(apart, 120).replace(
    /[^\p{L}\p{M}\p{N} .,°…]/gu,
    (character) => `#${character.codePointAt(0)};`,
  )
}
