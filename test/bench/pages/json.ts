import "monaco-editor/languages/features/json/register"
import * as monaco from "monaco-editor/editor"
import EditorWorker from "monaco-editor/editor/editor.worker?worker"
import JsonWorker from "monaco-editor/language/json/json.worker?worker"

self.MonacoEnvironment = {
  getWorker: (_, label) => (label === "json" ? new JsonWorker() : new EditorWorker()),
}

const editor = monaco.editor.create(document.getElementById("editor")!, {
  language: "json",
  automaticLayout: true,
  minimap: { enabled: false },
  wordBasedSuggestions: "off",
})
Object.assign(globalThis, { put: (text: string) => editor.setValue(text) })
