import { effect, untracked } from "@preact/signals"
import { useEffect, useRef } from "preact/hooks"
import { unfinishedAt } from "../../compiler/service/declaration-at.ts"
import { formatFile } from "../actions/apply-edits.ts"
import { goToHelp } from "../actions/navigate.ts"
import { saveActiveFile } from "../actions/save.ts"
import { changeFile } from "../actions/text.ts"
import {
  activeFile,
  caret,
  dark,
  deepRound,
  isEmpty,
  project,
  quickDiagnostics,
  reveal,
  writing,
} from "../state/state.ts"
import { showUses } from "./line-counts.ts"
import { HELP_SCHEME, showMarkers } from "./markers.ts"
import { fileOf, syncModels, uriOf } from "./models.ts"
import { monaco } from "./monaco.ts"
import { rangeIn, registerLanguage } from "./providers.ts"
import { defineThemes } from "./theme.ts"

registerLanguage()
defineThemes()

/** What a file looked like when it was last left: caret, selection, scroll. */
const views = new Map<string, monaco.editor.ICodeEditorViewState | null>()

const options: monaco.editor.IStandaloneEditorConstructionOptions = {
  model: null,
  automaticLayout: true,
  minimap: { enabled: false },
  scrollBeyondLastLine: false,
  wordBasedSuggestions: "off",
  occurrencesHighlight: "multiFile",
  links: false,
  colorDecorators: false,
  tabSize: 2,
  autoIndent: "keep",
  lineNumbersMinChars: 3,
  glyphMargin: false,
  renderFinalNewline: "on",
  wordWrap: "on",
  wrappingIndent: "indent",
  padding: { top: 10, bottom: 10 },
  fixedOverflowWidgets: true,
  unicodeHighlight: { ambiguousCharacters: false },
  ariaLabel: "Ruleset. Press Escape, then Tab to leave the editor.",
  accessibilitySupport: "auto",
  quickSuggestions: { other: true, comments: false, strings: true },
  // Tab accepts a suggestion, Enter ends the line: no surprises, though suggestions appear nearly everywhere.
  suggest: { showWords: false, showStatusBar: true },
  acceptSuggestionOnEnter: "off",
  snippetSuggestions: "inline",
  stickyScroll: { enabled: false },
  renderLineHighlight: "line",
}

/** The text editor on the active file of the project. */
export function Editor() {
  const box = useRef<HTMLDivElement>(null)
  useEffect(() => {
    const isStill = matchMedia("(prefers-reduced-motion: reduce)").matches
    if (!box.current) return
    const editor = monaco.editor.create(box.current, {
      ...options,
      // On a 4k screen without scaling, the text grows with the rest of the page.
      fontSize: innerWidth >= 2200 ? 18 : 15,
      fontFamily: getComputedStyle(document.documentElement).getPropertyValue("--mono"),
      theme: dark.peek() ? "ruleout-dark" : "ruleout-light",
      smoothScrolling: !isStill,
      cursorBlinking: isStill ? "solid" : "blink",
    })
    addActions(editor)
    const stops = [...followState(editor), ...followWriting(editor), ...openLinks()]
    if (isEmpty.peek()) {
      editor.focus()
      editor.trigger("empty", "editor.action.triggerSuggest", {})
    }
    return () => {
      keepView(editor)
      for (const stop of stops) stop()
      editor.dispose()
    }
  }, [])
  // The second class brings the editor's colours to what it opens beside itself, as its menu.
  return <div ref={box} class="editor monaco-component" />
}

type CodeEditor = monaco.editor.IStandaloneCodeEditor

function addActions(editor: CodeEditor): void {
  editor.addAction({
    id: "ruleout.format",
    label: "Format the file",
    contextMenuGroupId: "1_modification",
    keybindings: [monaco.KeyMod.Shift | monaco.KeyMod.Alt | monaco.KeyCode.KeyF],
    run: formatFile,
  })
  editor.addAction({
    id: "ruleout.save",
    label: "Save the file",
    contextMenuGroupId: "1_modification",
    keybindings: [monaco.KeyMod.CtrlCmd | monaco.KeyCode.KeyS],
    run: saveActiveFile,
  })
  editor.addAction({
    id: "ruleout.leave",
    label: "Leave the editor",
    keybindings: [monaco.KeyCode.Escape],
    precondition:
      "editorTextFocus && !suggestWidgetVisible && !renameInputVisible && !findWidgetVisible && !markersNavigationVisible && !inSnippetMode && !editorHasSelection && !referenceSearchVisible && !hasNextTabstop && !messageVisible && !editorHoverVisible",
    run: () => document.getElementById("after-editor")?.focus(),
  })
}

/** Keeps the editor in line with the page's state; returns what ends that. */
function followState(editor: CodeEditor): (() => void)[] {
  const moved = editor.onDidChangeCursorPosition(({ position }) => {
    const model = editor.getModel()
    if (model) caret.value = { file: fileOf(model.uri), offset: model.getOffsetAt(position) }
  })
  return [
    effect(() => {
      project.value
      untracked(() => syncModels(changeFile))
    }),
    effect(() => {
      const file = activeFile.value
      project.value.files
      const model = monaco.editor.getModel(uriOf(file))
      if (!model || editor.getModel() === model) return
      keepView(editor)
      editor.setModel(model)
      editor.restoreViewState(views.get(file) ?? null)
    }),
    // Between a keystroke and the diagnostics of the new text, the editor moves the marks itself.
    effect(() => {
      quickDiagnostics.value
      deepRound.value
      writing.value
      untracked(showMarkers)
    }),
    effect(showUses),
    effect(() => {
      monaco.editor.setTheme(dark.value ? "ruleout-dark" : "ruleout-light")
    }),
    effect(() => showRevealed(editor)),
    () => moved.dispose(),
  ]
}

/** What is wrong in a declaration waits while it is written: until the caret leaves it, or the editor is left. */
function followWriting(editor: CodeEditor): (() => void)[] {
  const look = (isTyped: boolean) => {
    const model = editor.getModel()
    const position = editor.getPosition()
    const before = writing.peek()
    if (!model || !position || (!isTyped && !before)) return
    const span = unfinishedAt(model.getValue(), model.getOffsetAt(position))
    const isLeft = !span || (!isTyped && span.start !== before?.start)
    writing.value = isLeft ? undefined : { file: fileOf(model.uri), ...span }
  }
  const end = () => {
    writing.value = undefined
  }
  const watches = [
    editor.onDidChangeModelContent(({ changes }) => {
      // What is pasted or fixed is there at once, and so is what is wrong with it.
      const isTyped = editor.hasTextFocus() && changes.every(({ text }) => !text.trim().includes("\n"))
      look(isTyped)
    }),
    editor.onDidChangeCursorPosition(() => look(false)),
    editor.onDidChangeModel(end),
    editor.onDidBlurEditorText(end),
  ]
  return [...watches.map((watch) => () => watch.dispose()), end]
}

function keepView(editor: CodeEditor): void {
  const model = editor.getModel()
  if (model) views.set(fileOf(model.uri), editor.saveViewState())
}

function showRevealed(editor: CodeEditor): void {
  const span = reveal.value
  // The file that it is in may be brought only now.
  activeFile.value
  const model = editor.getModel()
  if (!span || !model || fileOf(model.uri) !== span.file) return
  const range = rangeIn(model, span)
  editor.setSelection(range)
  editor.focus()
  bring(editor, range)
  // An editor that has just come onto the page knows its size a moment later, and would forget a scroll under way.
  requestAnimationFrame(() => editor.getModel() === model && bring(editor, range))
  reveal.value = undefined
}

function bring(editor: CodeEditor, range: monaco.IRange): void {
  editor.revealRangeInCenterIfOutsideViewport(range, monaco.editor.ScrollType.Immediate)
}

/** Definitions in other files and links to the help open in this page; returns what ends that. */
function openLinks(): (() => void)[] {
  const opener = monaco.editor.registerEditorOpener({
    openCodeEditor(_, resource, at) {
      const file = fileOf(resource)
      const model = monaco.editor.getModel(resource)
      if (!model || project.peek().files[file] === undefined) return false
      activeFile.value = file
      if (at) {
        const range = "startLineNumber" in at ? at : monaco.Range.fromPositions(at)
        reveal.value = {
          file,
          start: model.getOffsetAt(monaco.Range.getStartPosition(range)),
          end: model.getOffsetAt(monaco.Range.getEndPosition(range)),
        }
      }
      return true
    },
  })
  const helper = monaco.editor.registerLinkOpener({
    open({ scheme, path }) {
      if (scheme !== HELP_SCHEME) return false
      goToHelp(path)
      return true
    },
  })
  return [() => opener.dispose(), () => helper.dispose()]
}
