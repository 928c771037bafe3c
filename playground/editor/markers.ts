import type { Finding, Severity } from "../../compiler/syntax/finding.ts"
import { findings } from "../state.ts"
import { fileOf, uriOf } from "./models.ts"
import { monaco } from "./monaco.ts"
import { rangeIn } from "./providers.ts"

/** Addresses in the help, as of a code that the editor shows as a link. */
export const helpScheme = "ruleout-help"

const severities: Record<Severity, monaco.MarkerSeverity> = {
  error: monaco.MarkerSeverity.Error,
  warning: monaco.MarkerSeverity.Warning,
  note: monaco.MarkerSeverity.Info,
}

/** Findings as markers, with their labels as related places. */
export function showMarkers(): void {
  for (const model of monaco.editor.getModels()) {
    if (model.uri.scheme !== "ruleout") continue
    const file = fileOf(model.uri)
    const own = findings.value.filter((found) => found.span.file === file)
    monaco.editor.setModelMarkers(
      model,
      "ruleout",
      own.map((found) => marker(model, found)),
    )
  }
}

/** A finding about a whole declaration is marked on its first words: lines of wave under everything help nobody. */
function marked(
  model: monaco.editor.ITextModel,
  { start, end }: Finding["span"],
): { start: number; end: number } {
  const text = model.getValueInRange(rangeIn(model, { start, end: Math.min(end, start + 120) }))
  const head = /^(?:ruleset|part|setup|complaint|fault|told|reading|test|rule|when|never|proof)\s+\S+/.exec(
    text,
  )
  return { start, end: head ? start + head[0].length : end }
}

function marker(model: monaco.editor.ITextModel, found: Finding): monaco.editor.IMarkerData {
  const { start, end } = marked(model, found.span)
  const range = rangeIn(model, { start, end: Math.max(end, start + 1) })
  return {
    ...range,
    severity: severities[found.severity],
    message: found.help === undefined ? found.message : `${found.message}\n${found.help}`,
    code: { value: found.code, target: monaco.Uri.from({ scheme: helpScheme, path: `codes/${found.code}` }) },
    relatedInformation: found.labels.flatMap(({ span, text }) => {
      const other = monaco.editor.getModel(uriOf(span.file))
      return other ? [{ resource: other.uri, message: text, ...rangeIn(other, span) }] : []
    }),
  }
}
