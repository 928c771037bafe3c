import type { Diagnostic } from "../../diagnostics/diagnostic.ts"
import { Lines } from "../../diagnostics/line-index.ts"

const levels = { error: "error", warning: "warning", note: "notice" } as const

/**
 * Diagnostics as commands of a GitHub workflow, one a line: the forge then shows each beside its line in the change that
 * is reviewed.
 */
export function githubText(diagnostics: readonly Diagnostic[], sources: ReadonlyMap<string, string>): string {
  const texts = new Map([...sources].map(([file, text]) => [file, new Lines(text)]))
  return diagnostics
    .map(({ severity, code, message, help, span }) => {
      const lines = texts.get(span.file)
      const [start, end] = [lines?.at(span.start), lines?.at(span.end)]
      const place = start && end ? { line: start.line, endLine: end.line, col: start.column } : {}
      // The forge takes an end column only within one line.
      const until = start && end && start.line === end.line ? { endColumn: end.column } : {}
      const properties = Object.entries({ file: span.file, ...place, ...until, title: code })
      const head = properties.map(([name, value]) => `${name}=${property(String(value))}`).join(",")
      return `::${levels[severity]} ${head}::${data(help === undefined ? message : `${message}\n${help}`)}\n`
    })
    .join("")
}

function data(text: string): string {
  return text.replaceAll("%", "%25").replaceAll("\r", "%0D").replaceAll("\n", "%0A")
}

function property(text: string): string {
  return data(text).replaceAll(":", "%3A").replaceAll(",", "%2C")
}
