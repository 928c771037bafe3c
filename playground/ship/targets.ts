import type { Graph } from "../../compiler/run/graph.ts"

/** What else a graph can be written as, by who takes it; the same as the command line writes. */
export interface Target {
  readonly name: string
  readonly group: string
  readonly says: string
  readonly ending: string
  readonly type: string
  readonly write: (graph: Graph) => Promise<string>
}

/** The writers are fetched when the first is asked for. */
const writers = () => import("../../compiler/ship/index.ts")

const PAPER = "For paper and pages"
const PICTURES = "For drawing tools"
const DATA = "For data and decision tools"

export const otherTargets: readonly Target[] = [
  {
    name: "Bench card",
    group: PAPER,
    says: "Markdown: cautions, limits and steps.",
    ending: ".md",
    type: "text/markdown",
    write: async (graph) => (await writers()).writeMarkdown(graph),
  },
  {
    name: "Picture",
    group: PAPER,
    says: "SVG, the whole plan.",
    ending: ".svg",
    type: "image/svg+xml",
    write: async (graph) => (await writers()).writeSvg(graph),
  },
  {
    name: "Graphviz",
    group: PICTURES,
    says: "A drawing in DOT.",
    ending: ".dot",
    type: "text/vnd.graphviz",
    write: async (graph) => (await writers()).writeDot(graph),
  },
  {
    name: "Mermaid",
    group: PICTURES,
    says: "A flowchart for pages that draw Mermaid.",
    ending: ".mmd",
    type: "text/plain",
    write: async (graph) => (await writers()).writeMermaid(graph),
  },
  {
    name: "Decision table",
    group: DATA,
    says: "The rules as a table of OMG DMN 1.5.",
    ending: ".dmn",
    type: "application/xml",
    write: async (graph) => (await writers()).writeDmn(graph),
  },
  {
    name: "JSON Schema",
    group: DATA,
    says: "Of this ruleset's recorded cases, and of graphs.",
    ending: ".schema.json",
    type: "application/schema+json",
    write: async (graph) => (await writers()).writeJsonSchema(graph),
  },
  {
    name: "SQL",
    group: DATA,
    says: "Tables and the replay of cases, for any engine.",
    ending: ".sql",
    type: "application/sql",
    write: async (graph) => (await writers()).writeSql(graph),
  },
]
