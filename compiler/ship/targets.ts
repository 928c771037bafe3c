import { graphText } from "../graph/text.ts"
import type { Graph } from "../run/graph.ts"
import type { Words } from "../wording/words.ts"
import { writeDmn } from "./dmn.ts"
import { writeDot } from "./dot.ts"
import type { DrawingOptions } from "./drawing.ts"
import { writeJsonSchema } from "./jsonschema.ts"
import { writeMarkdown } from "./markdown.ts"
import { writeMermaid } from "./mermaid.ts"
import { writeModule, writeModuleTypes } from "./module.ts"
import { writePage } from "./page.ts"
import type { PictureBytes } from "./pictures.ts"
import { writePython } from "./python.ts"
import { writeSql } from "./sql.ts"
import { writeSvg } from "./svg.ts"

/** Files that `playground/build/bundle-parts.ts` makes, which exports carry besides the graph. */
export type PartName = "runner.js" | "runner.d.ts" | "runner.py" | "bench.js" | "bench.css"

export interface WriteOptions {
  /** The text of a part; of those only that the file `needs`. */
  readonly part: (name: PartName) => string
  /** Share of jobs under which pictures and the card leave a branch out. */
  readonly least?: number | undefined
  /** What it says beside the texts of the graph; English if not given. */
  readonly words?: Words | undefined
  /** The bytes of the graph's pictures, for an export that carries them. */
  readonly pictureBytes?: PictureBytes
}

/** One file that an export is written to. */
export interface TargetFile {
  /** What follows the ruleset's name. */
  readonly ending: string
  /** Media type. */
  readonly type: string
  readonly needs?: readonly PartName[]
  readonly write: (graph: Graph, options: WriteOptions) => string
}

/** What a graph can be written as. */
export interface Target {
  /** Who takes it. */
  readonly group: "runs the graph" | "for paper and pages" | "for drawing tools" | "for data and decisions"
  readonly title: string
  readonly says: string
  /** It contains the graph, with its seal. */
  readonly carries?: true
  /** It leaves out what few jobs get to. */
  readonly draws?: true
  /** It names the graph's pictures, which are in a folder beside it. */
  readonly pictures?: "beside"
  /** The first is what is asked for; others go beside it. */
  readonly files: readonly [TargetFile, ...TargetFile[]]
}

export type TargetName =
  | "graph"
  | "module"
  | "python"
  | "page"
  | "markdown"
  | "svg"
  | "dot"
  | "mermaid"
  | "dmn"
  | "jsonschema"
  | "sql"

/** All exports, those of the command line and of the playground. */
export const targets: Readonly<Record<TargetName, Target>> = {
  graph: {
    group: "runs the graph",
    title: "Graph",
    says: "the graph itself, one JSON document, for your own runner",
    carries: true,
    pictures: "beside",
    files: [{ ending: ".graph.json", type: "application/json", write: (graph) => graphText(graph) }],
  },
  module: {
    group: "runs the graph",
    title: "JavaScript module",
    says: "one ES module with the runner and the graph, and its types",
    carries: true,
    pictures: "beside",
    files: [
      {
        ending: ".mjs",
        type: "text/javascript",
        needs: ["runner.js"],
        write: (graph, { part }) => writeModule(graph, { runner: part("runner.js") }),
      },
      {
        ending: ".d.mts",
        type: "text/plain",
        needs: ["runner.d.ts"],
        write: (_, { part }) => writeModuleTypes({ types: part("runner.d.ts") }),
      },
    ],
  },
  python: {
    group: "runs the graph",
    title: "Python",
    says: "one file of Python 3.9 or newer with the runner and the graph",
    carries: true,
    pictures: "beside",
    files: [
      {
        ending: ".py",
        type: "text/x-python",
        needs: ["runner.py"],
        write: (graph, { part }) => writePython(graph, part("runner.py")),
      },
    ],
  },
  page: {
    group: "runs the graph",
    title: "Page",
    says: "one HTML file with the bench: needs no network, prints on A4",
    carries: true,
    files: [
      {
        ending: ".html",
        type: "text/html",
        needs: ["bench.js", "bench.css"],
        write: (graph, { part, pictureBytes }) =>
          writePage(graph, { script: part("bench.js"), style: part("bench.css") }, pictureBytes),
      },
    ],
  },
  markdown: {
    group: "for paper and pages",
    title: "Bench card",
    says: "a bench card: cautions, limits, steps",
    draws: true,
    pictures: "beside",
    files: [
      {
        ending: ".md",
        type: "text/markdown",
        write: (graph, at) => writeMarkdown(graph, drawingOptions(at)),
      },
    ],
  },
  svg: {
    group: "for paper and pages",
    title: "Picture",
    says: "a picture",
    draws: true,
    files: [
      { ending: ".svg", type: "image/svg+xml", write: (graph, at) => writeSvg(graph, drawingOptions(at)) },
    ],
  },
  dot: {
    group: "for drawing tools",
    title: "Graphviz",
    says: "a drawing for Graphviz",
    draws: true,
    files: [
      {
        ending: ".dot",
        type: "text/vnd.graphviz",
        write: (graph, at) => writeDot(graph, drawingOptions(at)),
      },
    ],
  },
  mermaid: {
    group: "for drawing tools",
    title: "Mermaid",
    says: "a flowchart for pages that draw Mermaid",
    draws: true,
    files: [
      { ending: ".mmd", type: "text/plain", write: (graph, at) => writeMermaid(graph, drawingOptions(at)) },
    ],
  },
  dmn: {
    group: "for data and decisions",
    title: "Decision table",
    says: "the rules as a decision table (OMG DMN 1.5)",
    files: [{ ending: ".dmn", type: "application/xml", write: (graph) => writeDmn(graph) }],
  },
  jsonschema: {
    group: "for data and decisions",
    title: "JSON Schema",
    says: "JSON Schema of this ruleset's recorded cases, and of graphs",
    files: [
      { ending: ".schema.json", type: "application/schema+json", write: (graph) => writeJsonSchema(graph) },
    ],
  },
  sql: {
    group: "for data and decisions",
    title: "SQL",
    says: "tables and the replay of cases, in SQL for any engine",
    files: [{ ending: ".sql", type: "application/sql", write: (graph) => writeSql(graph) }],
  },
}

/** Without a limit, each drawing has its own. */
function drawingOptions({ least, words }: WriteOptions): DrawingOptions {
  return { ...(least === undefined ? {} : { least }), ...(words === undefined ? {} : { words }) }
}
