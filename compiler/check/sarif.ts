import type { Diagnostic, Span } from "../diagnostics/diagnostic.ts"
import { Lines } from "../diagnostics/line-index.ts"
import { checks } from "./check.ts"

/**
 * Findings as a log of the Static Analysis Results Interchange Format, SARIF 2.1.0 (OASIS Standard, 2020): one run, one
 * rule for each code, places in UTF-16 code units, the mends as `fixes`; its levels are called as our severities are. `sources`: the text of each file by its path.
 * Plain data, to be written as JSON.
 */
export function sarif(
  diagnostics: readonly Diagnostic[],
  sources: ReadonlyMap<string, string>,
  version: string,
): object {
  const codes = [
    ...new Set([...checks.map((check) => check.code), ...diagnostics.map((diagnostic) => diagnostic.code)]),
  ]
  const index = new Map(codes.map((code, i) => [code, i]))
  const known = new Map(checks.map((check) => [check.code, check]))
  const lines = new Map([...sources].map(([file, text]) => [file, new Lines(text)]))
  const place = (span: Span) => placeIn(span, lines.get(span.file))
  return {
    $schema: "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json",
    version: "2.1.0",
    runs: [
      {
        tool: {
          driver: {
            name: "ruleout",
            semanticVersion: version,
            rules: codes.map((code) => {
              const check = known.get(code)
              if (check === undefined) return { id: code }
              return {
                id: code,
                shortDescription: { text: check.summary },
                fullDescription: { text: check.explain.replaceAll("\n", " "), markdown: check.explain },
                defaultConfiguration: { level: check.severity },
              }
            }),
          },
        },
        columnKind: "utf16CodeUnits",
        results: diagnostics.map((diagnostic) => ({
          ruleId: diagnostic.code,
          ruleIndex: index.get(diagnostic.code),
          level: diagnostic.severity,
          message: {
            text:
              diagnostic.help === undefined ? diagnostic.message : `${diagnostic.message} ${diagnostic.help}`,
          },
          locations: [place(diagnostic.span)],
          ...(diagnostic.labels.length === 0
            ? {}
            : {
                relatedLocations: diagnostic.labels.map(({ span, text }, id) => ({
                  id,
                  ...place(span),
                  message: { text },
                })),
              }),
          ...(diagnostic.edits.length === 0
            ? {}
            : {
                fixes: diagnostic.edits.map((edit) => ({
                  description: { text: edit.title },
                  artifactChanges: changes(edit.changes),
                })),
              }),
        })),
      },
    ],
  }

  function changes(all: Diagnostic["edits"][number]["changes"]) {
    const files = [...new Set(all.map(({ span }) => span.file))]
    return files.map((file) => ({
      artifactLocation: { uri: uri(file) },
      replacements: all
        .filter(({ span }) => span.file === file)
        .map(({ span, text }) => ({
          deletedRegion: regionOf(span, lines.get(file)),
          ...(text === "" ? {} : { insertedContent: { text } }),
        })),
    }))
  }
}

function placeIn(span: Span, lines: Lines | undefined) {
  return { physicalLocation: { artifactLocation: { uri: uri(span.file) }, region: regionOf(span, lines) } }
}

function regionOf(span: Span, lines: Lines | undefined) {
  const characters = { charOffset: span.start, charLength: span.end - span.start }
  if (lines === undefined) return characters
  const [start, end] = [lines.at(span.start), lines.at(span.end)]
  return {
    startLine: start.line,
    startColumn: start.column,
    endLine: end.line,
    endColumn: end.column,
    ...characters,
  }
}

/** A path as a URI reference: every part escaped, the slashes kept. */
function uri(path: string): string {
  return path.split("/").map(encodeURIComponent).join("/")
}
