import type { Diagnostic, Span } from "../diagnostics/diagnostic.ts"
import { Lines } from "../diagnostics/line-index.ts"
import { checks } from "./check.ts"

const checkOf = new Map(checks.map((check) => [check.code, check]))

/** Lines by file, to say places by line and column. */
type Texts = ReadonlyMap<string, Lines>

/**
 * Diagnostics as a log of the Static Analysis Results Interchange Format, SARIF 2.1.0 (OASIS Standard, 2020): one run,
 * one rule for each code, places in UTF-16 code units, quick fixes as `fixes`; its levels are called as our severities
 * are. `sources`: the text of each file by its path. Plain data, to be written as JSON.
 */
export function sarif(
  diagnostics: readonly Diagnostic[],
  sources: ReadonlyMap<string, string>,
  version: string,
): object {
  const codes = [...new Set([...checkOf.keys(), ...diagnostics.map(({ code }) => code)])]
  const texts = new Map([...sources].map(([file, text]) => [file, new Lines(text)]))
  return {
    $schema: "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json",
    version: "2.1.0",
    runs: [
      {
        tool: { driver: { name: "ruleout", semanticVersion: version, rules: codes.map(ruleOf) } },
        columnKind: "utf16CodeUnits",
        results: diagnostics.map((each) => resultOf(each, codes.indexOf(each.code), texts)),
      },
    ],
  }
}

function ruleOf(code: string) {
  const check = checkOf.get(code)
  if (check === undefined) return { id: code }
  return {
    id: code,
    shortDescription: { text: check.summary },
    fullDescription: { text: check.explain.replaceAll("\n", " "), markdown: check.explain },
    defaultConfiguration: { level: check.severity },
  }
}

function resultOf(
  { code, severity, message, help, span, labels, edits }: Diagnostic,
  rule: number,
  texts: Texts,
) {
  const related = labels.map((label, id) => ({
    id,
    ...placeOf(label.span, texts),
    message: { text: label.text },
  }))
  const fixes = edits.map(({ title, changes }) => ({
    description: { text: title },
    artifactChanges: artifactChanges(changes, texts),
  }))
  return {
    ruleId: code,
    ruleIndex: rule,
    level: severity,
    message: { text: help === undefined ? message : `${message} ${help}` },
    locations: [placeOf(span, texts)],
    ...(related.length === 0 ? {} : { relatedLocations: related }),
    ...(fixes.length === 0 ? {} : { fixes }),
  }
}

function artifactChanges(all: Diagnostic["edits"][number]["changes"], texts: Texts) {
  const files = [...new Set(all.map(({ span }) => span.file))]
  return files.map((file) => ({
    artifactLocation: { uri: uri(file) },
    replacements: all
      .filter(({ span }) => span.file === file)
      .map(({ span, text }) => ({
        deletedRegion: regionOf(span, texts.get(file)),
        ...(text === "" ? {} : { insertedContent: { text } }),
      })),
  }))
}

function placeOf(span: Span, texts: Texts) {
  const region = regionOf(span, texts.get(span.file))
  return { physicalLocation: { artifactLocation: { uri: uri(span.file) }, region } }
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
