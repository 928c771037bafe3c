import type { Graph } from "../run/graph.ts"
import type { ActionKind } from "../wording/actions.ts"
import * as m from "../wording/compiled/card.ts"
import * as common from "../wording/compiled/common.ts"
import { english } from "../wording/words.ts"
import { type DrawingOptions, drawingOf } from "./drawing.ts"
import { oneLine, wrapped } from "./escaping.ts"

const shapes: Readonly<Record<ActionKind, string>> = {
  reads: "box",
  told: "note",
  swaps: "box3d",
  redoes: "component",
  removes: "component",
  takeOut: "box3d",
  putBack: "box3d",
  keep: "house",
  replace: "house",
  fix: "house",
  look: "ellipse",
  close: "doubleoctagon",
  handover: "octagon",
  advise: "plaintext",
}

/**
 * The graph in the DOT language of Graphviz ("The DOT Language", graphviz documentation). Nodes are named by their index
 * in the graph; the width of an edge shows its chance. Nodes that fewer jobs than `least` get to are left out.
 */
export function writeDot(graph: Graph, { least = 0, words = english }: DrawingOptions = {}): string {
  const { steps } = drawingOf(graph, { least, words })
  const lines = steps.flatMap(({ node, kind, title, facts, cautions, reach, ways }) => {
    const label = [...wrapped(oneLine(title), 30), ...wrapped(oneLine(facts.join(", ")), 36)]
    const tip = [
      ...cautions.map((what) => words.say(common.caution, { what })),
      words.say(m.cardShareOfJobs, { share: words.percent(reach) }),
    ].join(" ")
    return [
      `  n${node} [label=${escaped(label)}, shape=${shapes[kind]}, tooltip=${escaped([tip])}]`,
      ...ways
        .filter(({ to }) => to !== undefined)
        .map(({ to, label, chance }) => {
          const lines = [...wrapped(oneLine(label), 24).slice(0, 6), words.percent(chance)]
          return `  n${node} -> ${to === "end" ? "end" : `n${to}`} [label=${escaped(lines)}, penwidth=${(0.5 + 3 * chance).toFixed(2)}]`
        }),
    ]
  })
  return [
    "digraph ruleout {",
    `  graph [label=${escaped([graph.ruleset.title, words.say(m.cardVersion, { version: graph.ruleset.version })])}, labelloc=t, fontname="sans-serif"]`,
    `  node [fontname="sans-serif", fontsize=11, margin="0.12,0.06"]`,
    `  edge [fontname="sans-serif", fontsize=9, arrowsize=0.7]`,
    ...lines,
    ...(steps.some(({ ways }) => ways.some(({ to }) => to === "end"))
      ? [`  end [label=${escaped([words.say(m.cardEndNode)])}, shape=circle]`]
      : []),
    "}",
    "",
  ].join("\n")
}

/** A quoted string in which neither Graphviz's own escapes (`\\N`, `\\G`) nor its HTML references mean anything. */
function escaped(lines: readonly string[]): string {
  const each = lines.map((line) =>
    oneLine(line).replaceAll("&", "&amp;").replaceAll("\\", "\\\\").replaceAll('"', '\\"'),
  )
  return `"${each.join("\\n")}"`
}
