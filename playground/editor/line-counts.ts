import { casesState } from "../actions/case-file.ts"
import { countMark, countsShown, useSentence, uses } from "../actions/line-uses.ts"
import { compiled, version } from "../state/state.ts"
import { fileOf } from "./models.ts"
import { monaco } from "./monaco.ts"

type Model = monaco.editor.ITextModel

/** The decorations of each model, which takes them along when it goes. */
const marked = new WeakMap<Model, string[]>()

/** Shows after each rule, test and fault how many of the replayed cases used it. */
export function showUses(): void {
  const { cases, failed } = casesState.value
  const wanted = countsShown.value && cases > 0 && !failed && compiled.value !== undefined
  const counted = wanted ? uses.value : undefined
  // Until the cases are replayed on the new text, counts stay at the lines to which typing has moved them.
  if (wanted && counted?.version !== version.peek()) return
  for (const model of monaco.editor.getModels()) {
    if (model.uri.scheme !== "ruleout") continue
    const { list = [], cases: total = 0 } = counted ?? {}
    const own = list.filter(({ span }) => span.file === fileOf(model.uri))
    const marks = own.map((use): monaco.editor.IModelDeltaDecoration => {
      const { lineNumber } = model.getPositionAt(use.span.start)
      return {
        range: wholeLine(model, lineNumber),
        options: {
          hoverMessage: { value: useSentence(use, total) },
          after: {
            content: `\u00a0\u00a0${countMark(use.cases)}`,
            inlineClassName: use.cases === 0 ? "line-uses none" : "line-uses",
            cursorStops: monaco.editor.InjectedTextCursorStops.None,
          },
        },
      }
    })
    if (!marked.has(model)) keepOnTheirLines(model)
    marked.set(model, model.deltaDecorations(marked.get(model) ?? [], marks))
  }
}

function wholeLine(model: Model, line: number): monaco.Range {
  return new monaco.Range(line, 1, line, model.getLineMaxColumn(line))
}

/** A line that is broken in two leaves its count on the first half. */
function keepOnTheirLines(model: Model): void {
  model.onDidChangeContent(({ changes }) => {
    if (!changes.some(({ text }) => text.includes("\n"))) return
    const own = new Set(marked.get(model))
    const broken = model
      .getAllDecorations()
      .filter(({ id, range }) => own.has(id) && range.startLineNumber !== range.endLineNumber)
    if (broken.length === 0) return
    const ids = broken.map(({ id }) => id)
    const again = model.deltaDecorations(
      ids,
      broken.map(({ range, options }) => ({ range: wholeLine(model, range.startLineNumber), options })),
    )
    marked.set(model, [...[...own].filter((id) => !ids.includes(id)), ...again])
  })
}
