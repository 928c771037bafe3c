import type { Diagnostic, Severity } from "../../compiler/diagnostics/diagnostic.ts"
import { underlined } from "../../compiler/diagnostics/underline.ts"
import { diagnostics } from "../state/state.ts"
import { fileOf, uriOf } from "./models.ts"
import { monaco } from "./monaco.ts"
import { rangeIn } from "./providers.ts"

/** Addresses in the help, as of a code that the editor shows as a link. */
export const HELP_SCHEME = "ruleout-help"

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
    const own = diagnostics.value.filter((found) => found.span.file === file)
    const text = model.getValue()
    monaco.editor.setModelMarkers(
      model,
      "ruleout",
      own.map((found) => marker(model, text, found)),
    )
  }
}

function marker(model: monaco.editor.ITextModel, text: string, found: Diagnostic): monaco.editor.IMarkerData {
  const { start, end } = underlined(text, found.span)
  const range = rangeIn(model, { start, end: Math.max(end, start + 1) })
  return {
    ...range,
    severity: severities[found.severity],
    message: found.help === undefined ? found.message : `${found.message}\n${found.help}`,
    code: {
      value: found.code,
      target: monaco.Uri.from({ scheme: HELP_SCHEME, path: `codes/${found.code}` }),
    },
    relatedInformation: found.labels.flatMap(({ span, text }) => {
      const other = monaco.editor.getModel(uriOf(span.file))
      return other ? [{ resource: other.uri, message: text, ...rangeIn(other, span) }] : []
    }),
  }
}
