import "monaco-editor/features/bracketMatching/register"
import "monaco-editor/features/clipboard/register"
import "monaco-editor/features/codeAction/register"
import "monaco-editor/features/comment/register"
import "monaco-editor/features/cursorUndo/register"
import "monaco-editor/features/documentSymbols/register"
import "monaco-editor/features/find/register"
import "monaco-editor/features/folding/register"
import "monaco-editor/features/format/register"
import "monaco-editor/features/gotoError/register"
import "monaco-editor/features/gotoSymbol/register"
import "monaco-editor/features/hover/register"
import "monaco-editor/features/linesOperations/register"
import "monaco-editor/features/quickOutline/register"
import "monaco-editor/features/rename/register"
import "monaco-editor/features/snippet/register"
import "monaco-editor/features/suggest/register"
import "monaco-editor/features/toggleTabFocusMode/register"
import "monaco-editor/features/wordHighlighter/register"
import "monaco-editor/features/wordOperations/register"
// `features/suggest/register` alone shows no list.
import "monaco-editor/editor/contrib/suggest/browser/suggestController"
import * as monaco from "monaco-editor/editor"
import EditorWorker from "monaco-editor/editor/editor.worker?worker"

self.MonacoEnvironment = { getWorker: () => new EditorWorker() }

export { monaco }
export const languageId = "ruleout"
