import { type Shift, shiftOf } from "../actions/text-shift.ts"
import {
  type Change,
  closeJournal,
  goesOn,
  keptJournal,
  openJournal,
  record,
} from "../actions/undo-journal.ts"
import { project } from "../state/state.ts"
import { LANGUAGE_ID, monaco } from "./monaco.ts"

/** One text model for each file of the project; they outlive the editor, so that undo and folds survive a change of station. */
const SCHEME = "ruleout"

export function uriOf(file: string): monaco.Uri {
  return monaco.Uri.from({ scheme: SCHEME, path: `/${file}` })
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
    if (model.uri.scheme === SCHEME && files[fileOf(model.uri)] === undefined) {
      closeJournal(fileOf(model.uri))
      model.dispose()
    }
  for (const [file, text] of Object.entries(files)) {
    const model = monaco.editor.getModel(uriOf(file))
    if (!model) {
      const made = createModel(file, text)
      known.set(file, text)
      made.onDidChangeContent(({ changes }) => {
        const now = made.getValue()
        known.set(file, now)
        record(file, changes.map(changeOf), made.getAlternativeVersionId())
        const [change, ...more] = changes
        changed(file, now, change && more.length === 0 ? shiftBy(file, change) : undefined)
      })
    } else if (known.get(file) !== text) {
      known.set(file, text)
      replaceText(model, file, text)
    }
  }
}

const changeOf = ({ rangeOffset, rangeLength, text }: monaco.editor.IModelContentChange): Change => ({
  at: rangeOffset,
  out: rangeLength,
  text,
})

/** The model of a file, with all that can be undone: what was changed before a reload is changed again. */
function createModel(file: string, text: string): monaco.editor.ITextModel {
  const journal = keptJournal(file, text)
  const model = monaco.editor.createModel(journal.base, LANGUAGE_ID, uriOf(file))
  const ids = [model.getAlternativeVersionId()]
  journal.steps.forEach((step, i) => {
    if (!goesOn(journal.steps[i - 1], step)) model.pushStackElement()
    for (const { at, out, text: added } of step) {
      const range = monaco.Range.fromPositions(model.getPositionAt(at), model.getPositionAt(at + out))
      model.pushEditOperations([], [{ range, text: added }], () => null)
    }
    ids.push(model.getAlternativeVersionId())
  })
  model.pushStackElement()
  // A text with other ends of lines than the model's can't be made again by offsets.
  if (model.getValue() !== text) return newModel(model, text, file)
  openJournal(file, journal, ids)
  return model
}

function newModel(old: monaco.editor.ITextModel, text: string, file: string): monaco.editor.ITextModel {
  old.dispose()
  const model = monaco.editor.createModel(text, LANGUAGE_ID, uriOf(file))
  openJournal(file, { base: text, steps: [] }, [model.getAlternativeVersionId()])
  return model
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
