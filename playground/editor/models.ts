import { type Shift, shiftOf } from "../actions/text-shift.ts"
import { project } from "../state.ts"
import { languageId, monaco } from "./monaco.ts"

/** One text model for each file of the project; they outlive the editor, so that undo and folds survive a change of station. */
const scheme = "ruleout"

export function uriOf(file: string): monaco.Uri {
  return monaco.Uri.from({ scheme, path: `/${file}` })
}

export function fileOf(uri: monaco.Uri): string {
  return uri.path.slice(1)
}

/** The text that each model had when it was last compared: the very string that is in the project, so that comparing is free. */
const known = new Map<string, string>()

/** Brings the models in line with the project. A text that came from elsewhere goes in as one undoable step. */
export function syncModels(changed: (file: string, text: string, shift?: Shift) => void): void {
  const { files } = project.value
  for (const model of monaco.editor.getModels())
    if (model.uri.scheme === scheme && files[fileOf(model.uri)] === undefined) model.dispose()
  for (const [file, text] of Object.entries(files)) {
    const model = monaco.editor.getModel(uriOf(file))
    if (!model) {
      const made = monaco.editor.createModel(text, languageId, uriOf(file))
      known.set(file, text)
      made.onDidChangeContent(({ changes }) => {
        const now = made.getValue()
        known.set(file, now)
        changed(file, now, changes.length === 1 ? shiftBy(file, changes[0]!) : undefined)
      })
    } else if (known.get(file) !== text) {
      known.set(file, text)
      replaceText(model, file, text)
    }
  }
}

/** Only what differs is replaced, so that the caret stays where it is. */
function replaceText(model: monaco.editor.ITextModel, file: string, text: string): void {
  const before = model.getValue()
  if (before === text) return
  const { start, end, by } = shiftOf(file, before, text)
  const range = monaco.Range.fromPositions(model.getPositionAt(start), model.getPositionAt(end))
  model.pushStackElement()
  model.pushEditOperations([], [{ range, text: text.slice(start, end + by) }], () => null)
  model.pushStackElement()
}

function shiftBy(file: string, { rangeOffset, rangeLength, text }: monaco.editor.IModelContentChange): Shift {
  return { file, start: rangeOffset, end: rangeOffset + rangeLength, by: text.length - rangeLength }
}
