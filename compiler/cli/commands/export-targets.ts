/** What `ship` can write, one entry per export. */
import { readFileSync } from "node:fs"
import { graphText } from "../../graph/text.ts"
import type { Graph } from "../../run/index.ts"
import * as ship from "../../ship/index.ts"
import { partPath } from "../io/parts.ts"
import { UserError } from "../io/user-error.ts"

interface Target {
  readonly says: string
  /** It contains the graph, with its seal. */
  readonly carries?: true
  /** It leaves out what few jobs get to. */
  readonly draws?: true
  write(graph: Graph, least: { least?: number }): readonly { ending: string; text: string }[]
}

const one = (ending: string, text: string) => [{ ending, text }]

export const targets = {
  graph: {
    says: "the graph itself, one JSON document, for your own runner",
    carries: true,
    write: (graph) => one(".graph.json", graphText(graph)),
  },
  module: {
    says: "one ES module with the runner and the graph, and its types",
    carries: true,
    write: (graph) => {
      const parts = { runner: part("runner.js"), types: part("runner.d.ts") }
      return [
        { ending: ".mjs", text: ship.writeModule(graph, parts) },
        { ending: ".d.mts", text: ship.writeModuleTypes(parts) },
      ]
    },
  },
  python: {
    says: "one file of Python 3.9 or newer with the runner and the graph",
    carries: true,
    write: (graph) => one(".py", ship.writePython(graph, part("runner.py"))),
  },
  page: {
    says: "one HTML file with the bench: needs no network, prints on A4",
    carries: true,
    write: (graph) =>
      one(".html", ship.writePage(graph, { script: part("bench.js"), style: part("bench.css") })),
  },
  markdown: {
    says: "a bench card: cautions, limits, steps",
    draws: true,
    write: (graph, least) => one(".md", ship.writeMarkdown(graph, least)),
  },
  svg: {
    says: "a picture",
    draws: true,
    write: (graph, least) => one(".svg", ship.writeSvg(graph, least)),
  },
  dot: {
    says: "a drawing for Graphviz",
    draws: true,
    write: (graph, least) => one(".dot", ship.writeDot(graph, least)),
  },
  mermaid: {
    says: "a flowchart for pages that draw Mermaid",
    draws: true,
    write: (graph, least) => one(".mmd", ship.writeMermaid(graph, least)),
  },
  dmn: {
    says: "the rules as a decision table (OMG DMN 1.5)",
    write: (graph) => one(".dmn", ship.writeDmn(graph)),
  },
  jsonschema: {
    says: "JSON Schema of this ruleset's recorded cases, and of graphs",
    write: (graph) => one(".schema.json", ship.writeJsonSchema(graph)),
  },
  sql: {
    says: "tables and the replay of cases, in SQL for any engine",
    write: (graph) => one(".sql", ship.writeSql(graph)),
  },
} satisfies Record<string, Target> as Readonly<Record<TargetName, Target>>

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

function part(name: string): string {
  const path = partPath(name)
  if (path === undefined)
    throw new UserError(`The file \`${name}\` that this export needs is missing.`, "Run `npm run build`.")
  return readFileSync(path, "utf8")
}
